package arbor

import (
	"slices"

	"github.com/ripwright/ripwright/solver/unit"
)

// fine is the number of positions up to which all are tried for a blade. If there are
// more, those that make pockets as wide as items are tried, and a few nearby.
const fine = 64

// places gives positions for blade i: first those that fit items, then others, each group
// in random order.
func (s *searcher) places(step unit.Length, at []unit.Length, i int) []unit.Length {
	var all []unit.Length
	if i > 0 {
		for _, d := range s.gaps[i-1] {
			all = append(all, at[i-1]+d)
		}
	}
	if i+1 < len(at) {
		for _, d := range s.gaps[i] {
			all = append(all, at[i+1]-d)
		}
	}
	s.r.Shuffle(len(all), func(a, b int) { all[a], all[b] = all[b], all[a] })
	all = all[:min(len(all), fine)]
	wide := len(all)
	if len(s.grid) <= fine {
		all = append(all, s.grid...)
	} else {
		for _, steps := range []unit.Length{1, 2, 5, 10, 25, 50} {
			all = append(all, at[i]-steps*step, at[i]+steps*step)
		}
	}
	others := all[wide:]
	s.r.Shuffle(len(others), func(a, b int) { others[a], others[b] = others[b], others[a] })
	return slices.DeleteFunc(all, func(a unit.Length) bool { return a < s.grid[0] || a > s.grid[len(s.grid)-1] })
}

// climb improves a setting by moves as long as one helps: one blade to another place
// between its neighbours, or all blades from one on outwards by the same distance.
func (s *searcher) climb(c *scorer, at []unit.Length, ends func() bool) {
	here := c.score(at)
	if here == nil {
		return
	}
	better := func(next []unit.Length) bool {
		if !s.screens(c, here.Fixed, next) {
			return false
		}
		got := c.score(next)
		if got != nil && got.exact.Cmp(here.exact) > 0 {
			here = got
			return true
		}
		return false
	}
	still := 0 // blades since the last move that helped
	for i := s.r.IntN(len(at)); still < len(at); i = (i + 1) % len(at) {
		still++
		for _, a := range s.places(c.p.Spacers.Increment, here.Fixed, i) {
			if ends() {
				return
			}
			at := here.Fixed
			shift := a - at[i]
			if shift == 0 || i > 0 && a <= at[i-1] {
				continue
			}
			if i+1 == len(at) || a < at[i+1] {
				next := slices.Clone(at)
				next[i] = a
				if better(next) {
					still = 0
					continue
				}
			}
			if i+1 == len(at) || at[len(at)-1]+shift > c.p.Spacers.Max || ends() {
				continue
			}
			next := slices.Clone(at)
			for j := i; j < len(next); j++ {
				next[j] += shift
			}
			if better(next) {
				still = 0
			}
		}
	}
}

// screens reports whether a setting may be better than another, judged by a few boards:
// it is worth no less on them. So most moves cost only those boards (a race of two
// stages, after Maron and Moore 1994).
func (s *searcher) screens(c *scorer, here, next []unit.Length) bool {
	if s.few == nil || s.few == c {
		return true
	}
	if _, known := c.known[string(appendKey(nil, next))]; known {
		return true
	}
	a, b := s.few.score(here), s.few.score(next)
	return a == nil || b != nil && b.exact.Cmp(a.exact) >= 0
}

// wander climbs from the best setting, then again and again from the result with some of
// its blades moved at random, until it ends.
func (s *searcher) wander(c *scorer, ends func() bool) {
	if len(c.top) == 0 {
		return
	}
	s.climb(c, c.top[0].Fixed, ends)
	for misses := 0; misses < 200 && !ends(); {
		before := c.tried
		at := slices.Clone(c.top[0].Fixed)
		if s.r.IntN(3) == 0 {
			if at = s.random(len(at)); at == nil {
				misses++
				continue
			}
		} else {
			i := s.r.IntN(len(at))
			places := s.places(c.p.Spacers.Increment, at, i)
			if len(places) > 0 {
				shift := places[s.r.IntN(len(places))] - at[i]
				for j := i; j < len(at); j++ {
					at[j] += shift
				}
			}
			i = s.r.IntN(len(at))
			if places = s.places(c.p.Spacers.Increment, at, i); len(places) > 0 {
				at[i] = places[s.r.IntN(len(places))]
			}
			slices.Sort(at)
			if at[len(at)-1] > s.grid[len(s.grid)-1] {
				misses++
				continue
			}
		}
		s.climb(c, at, ends)
		if c.tried == before {
			misses++
		}
	}
}
