package arbor

import (
	"math/rand/v2"
	"slices"

	"github.com/ripwright/ripwright/solver/unit"
)

// first is the lowest position that the spacers allow.
func (s *Spacers) first() unit.Length {
	return unit.Length(unit.CeilDiv(int64(s.Min-s.Origin), int64(s.Increment)))*s.Increment + s.Origin
}

// positions is how many the spacers allow.
func (s *Spacers) positions() int { return max(int((s.Max-s.first())/s.Increment)+1, 0) }

// grid gives all positions that the spacers allow, in rising order.
func (s *Spacers) grid() []unit.Length {
	at := make([]unit.Length, s.positions())
	for i := range at {
		at[i] = s.first() + unit.Length(i)*s.Increment
	}
	return at
}

// Screening takes one board of so many, and no fewer than some.
const (
	screened  = 6
	leastFew  = 4
	leastMany = 8
)

// screen gives a scorer of the same settings on a few of the boards, or nil where there
// are few.
func (c *scorer) screen() *scorer {
	n := len(c.p.Boards)
	if n < leastMany {
		return nil
	}
	k := max(leastFew, n/screened)
	p := *c.p
	p.Boards = nil
	for i := range k {
		p.Boards = append(p.Boards, c.p.Boards[i*n/k])
	}
	few := newScorer(&p, c.o, c.saw, max(c.most, finalists))
	few.today = c.today
	return few
}

// finalists are settings that were the best on a few boards and are tried on all.
const finalists = 8

// search tries settings and reports whether they are all there are. few screens them;
// nil: nobody does.
func (c *scorer) search(few *scorer) (all bool) {
	if c.stopped() {
		return false
	}
	grid := c.p.Spacers.grid()
	n := len(c.today)
	if c.few(grid, n) {
		c.enumerate(grid, n, func(at []unit.Length) bool {
			c.score(at)
			return !c.stopped()
		})
		return !c.stopped()
	}
	// As much work as for so many settings on all boards, in boards.
	work := c.o.Settings * len(c.p.Boards) * len(c.items)
	spent := func() int {
		if few != nil {
			return c.solved + few.solved
		}
		return c.solved
	}
	// ends gives whether so great a part of the work is done.
	ends := func(part float64) func() bool {
		return func() bool { return c.stopped() || c.tried >= c.o.Settings || float64(spent()) >= part*float64(work) }
	}
	r := rand.New(rand.NewPCG(c.o.Seed, 0xa2b0)) //nolint:gosec // the same every time
	s := &searcher{grid: grid, gaps: c.gaps(), r: r}
	c.score(nearest(grid, c.today))
	if few != nil {
		few.score(nearest(grid, c.today))
		s.draw(few, n, ends(0.2))
		for k, at := range few.best(climbed) {
			s.climb(few, at, ends(0.2+0.3*float64(k+1)/climbed))
		}
		for _, at := range few.best(finalists) {
			if !ends(1)() {
				c.score(at)
			}
		}
	} else {
		s.draw(c, n, ends(0.3))
	}
	s.wander(c, ends(1))
	return false
}

// climbed are settings that are improved on a few boards.
const climbed = 3

// best gives where the blades stand in the best settings, at most so many.
func (c *scorer) best(most int) (all [][]unit.Length) {
	for _, s := range c.top[:min(most, len(c.top))] {
		all = append(all, s.Fixed)
	}
	return all
}

// searcher draws settings and moves blades.
type searcher struct {
	grid []unit.Length
	gaps [][]unit.Length // from each blade to the next, as items have it
	r    *rand.Rand
}

// draw tries settings drawn at random until it ends, or hardly any blades can stand so.
func (s *searcher) draw(c *scorer, n int, ends func() bool) {
	for misses := 0; misses < 200 && !ends(); {
		before := c.tried
		if at := s.random(n); at != nil {
			c.score(at)
		}
		if c.tried == before {
			misses++
		}
	}
}

// random draws a setting whose pockets are mostly as wide as items; nil if it does
// not fit.
func (s *searcher) random(n int) []unit.Length {
	at := []unit.Length{s.grid[s.r.IntN(len(s.grid))]}
	byItems := s.r.IntN(4) > 0
	for len(at) < n {
		next := s.grid[s.r.IntN(len(s.grid))]
		if gaps := s.gaps[len(at)-1]; byItems && len(gaps) > 0 && s.r.IntN(8) > 0 {
			next = at[len(at)-1] + gaps[s.r.IntN(len(gaps))]
		}
		at = append(at, next)
	}
	slices.Sort(at)
	if end := s.grid[len(s.grid)-1]; at[n-1] > end {
		// The first blade was drawn anywhere: let it all begin where it fits.
		room := end - (at[n-1] - at[0])
		fits, _ := slices.BinarySearch(s.grid, room+1)
		if fits == 0 {
			return nil
		}
		first := s.grid[s.r.IntN(fits)]
		shift := first - at[0]
		for i := range at {
			at[i] += shift
		}
	}
	return at
}

// mostGaps bounds the widths that are listed for a gap.
const mostGaps = 200

// gaps lists for every fixed blade but the last how far from it the next one stands if
// what is between is as wide as an item, or as several where moving blades stand between,
// as near as the spacers come to it, in rising order.
func (c *scorer) gaps() (all [][]unit.Length) {
	var widths []unit.Length
	for _, items := range c.items {
		for i := range items {
			widths = append(widths, items[i].Min, items[i].Max)
		}
	}
	slices.Sort(widths)
	widths = slices.Compact(widths)
	between, seen := 0, false
	for _, b := range c.saw.Blades {
		switch {
		case b.Moving:
			between++
		case seen:
			all = append(all, c.sums(widths, min(between, 2)+1))
			fallthrough
		default:
			seen, between = true, 0
		}
	}
	return all
}

// sums gives the distances of blades with up to so many strips between them.
func (c *scorer) sums(widths []unit.Length, strips int) (all []unit.Length) {
	step := c.p.Spacers.Increment
	wide := []unit.Length{0}
	for range strips {
		var next []unit.Length
		for _, sum := range wide {
			for _, w := range widths {
				if len(next) < 16*mostGaps {
					next = append(next, sum+w+c.saw.Kerf)
				}
			}
		}
		slices.Sort(next)
		wide = slices.Compact(next)
		for _, sum := range wide {
			all = append(all, (sum+step-1)/step*step) // no narrower
		}
	}
	slices.Sort(all)
	all = slices.Compact(all)
	for len(all) > mostGaps { // every other one, as long as they are too many
		for i := 0; 2*i < len(all); i++ {
			all[i] = all[2*i]
		}
		all = all[:(len(all)+1)/2]
	}
	return all
}

// fine is how many positions are each tried for a blade. Where there are more, those
// that make pockets as wide as items are, and a few nearby.
const fine = 64

// places gives where blade i may be put: first where items would have it, then others,
// each in an order drawn at random.
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

// few reports whether there are no more settings than may be tried.
func (c *scorer) few(grid []unit.Length, n int) bool {
	left := c.o.Settings
	c.enumerate(grid, n, func([]unit.Length) bool {
		left--
		return left >= 0 && (left%1024 > 0 || !c.stopped())
	})
	return left >= 0 // or there is no time for any
}

// enumerate goes through all settings until next has enough. The setting that it is
// given is its own only until it returns.
func (c *scorer) enumerate(grid []unit.Length, n int, next func(at []unit.Length) bool) {
	apart := c.saw.Kerf + c.saw.Gap
	steps := int(unit.CeilDiv(int64(apart), int64(c.p.Spacers.Increment))) // between two blades
	at := make([]unit.Length, 0, n)
	var put func(from int) bool
	put = func(from int) bool {
		if len(at) == n {
			return next(at)
		}
		for i := from; i < len(grid); i++ {
			if grid[i]+unit.Length(n-len(at)-1)*apart > grid[len(grid)-1] {
				break // no room for the rest
			}
			at = append(at, grid[i])
			if !put(i + max(steps, 1)) {
				return false
			}
			at = at[:len(at)-1]
		}
		return true
	}
	put(0)
}

// nearest puts every blade on the position of the grid next to it, the lower one of two.
func nearest(grid, at []unit.Length) []unit.Length {
	out := make([]unit.Length, len(at))
	for i, a := range at {
		k, _ := slices.BinarySearch(grid, a) // the first that is not below
		if k == len(grid) || k > 0 && a-grid[k-1] <= grid[k]-a {
			k--
		}
		out[i] = grid[k]
	}
	return out
}

// climb goes from a setting to one that a move makes better for as long as there is one:
// one blade elsewhere between its neighbours, or all blades from one on outwards by as
// much.
func (s *searcher) climb(c *scorer, at []unit.Length, ends func() bool) {
	here := c.score(at)
	if here == nil {
		return
	}
	better := func(next []unit.Length) bool {
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
			if i+1 == len(at) || at[len(at)-1]+shift > c.p.Spacers.Max {
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

// wander climbs from the best setting, and from what comes of it when some of its blades
// are put elsewhere, until it ends.
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
