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

// search gives the settings tried, best first, and whether they are all there are.
func (c *scorer) search(start []unit.Length) (found []*Scored, all bool) {
	if c.stopped() {
		return c.ranked(), false
	}
	grid := c.p.Spacers.grid()
	n := len(start)
	if c.few(grid, n) {
		c.enumerate(grid, n, func(at []unit.Length) bool {
			c.score(at)
			return !c.stopped()
		})
		return c.ranked(), !c.stopped()
	}
	r := rand.New(rand.NewPCG(c.o.Seed, 0xa2b0))
	c.climb(grid, nearest(grid, start))
	for c.tried < c.o.Settings && !c.stopped() {
		before := c.tried
		if at := c.random(r, grid, n); at != nil {
			c.climb(grid, at)
		}
		if c.tried == before {
			if c.misses++; c.misses > 200 {
				break // hardly any blades can stand so
			}
		}
	}
	return c.ranked(), false
}

// random draws a setting whose pockets are mostly as wide as items; nil if it does
// not fit.
func (c *scorer) random(r *rand.Rand, grid []unit.Length, n int) []unit.Length {
	spacings := c.spacings()
	at := []unit.Length{grid[r.IntN(len(grid))]}
	for len(at) < n {
		next := grid[r.IntN(len(grid))]
		if len(spacings) > 0 && r.IntN(4) > 0 {
			next = at[len(at)-1] + spacings[r.IntN(len(spacings))]
		}
		at = append(at, next)
	}
	slices.Sort(at)
	if at[n-1] > grid[len(grid)-1] {
		return nil
	}
	return at
}

// spacings are how far neighbours stand apart for pockets as wide as items, as near
// as the spacers come to it, in rising order.
func (c *scorer) spacings() (all []unit.Length) {
	step := c.p.Spacers.Increment
	for _, items := range c.items {
		for i := range items {
			all = append(all, (items[i].Min+c.saw.Kerf+step/2)/step*step)
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// fine is how many positions are each tried for a blade. Where there are more, those
// that make pockets as wide as items are, and a few nearby.
const fine = 64

// places gives where blade i may be put.
func (c *scorer) places(grid, at []unit.Length, i int) []unit.Length {
	if len(grid) <= fine {
		return grid
	}
	var all []unit.Length
	for _, s := range c.spacings() {
		if i > 0 {
			all = append(all, at[i-1]+s)
		}
		if i+1 < len(at) {
			all = append(all, at[i+1]-s)
		}
		all = append(all, at[i]-s, at[i]+s)
	}
	for _, steps := range []unit.Length{1, 2, 5, 10, 25, 50} {
		d := steps * c.p.Spacers.Increment
		all = append(all, at[i]-d, at[i]+d)
	}
	slices.Sort(all)
	return slices.DeleteFunc(slices.Compact(all), func(a unit.Length) bool { return a < grid[0] || a > grid[len(grid)-1] })
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

// climb goes from a setting to the best that one move makes of it for as long as
// that is better: one blade elsewhere between its neighbours, or all blades from
// one on outwards by as much.
func (c *scorer) climb(grid []unit.Length, at []unit.Length) {
	here := c.score(at)
	for {
		best := here
		try := func(next []unit.Length) bool {
			if c.tried >= c.o.Settings || c.stopped() {
				return false
			}
			if s := c.score(next); s != nil && (best == nil || s.exact.Cmp(best.exact) > 0) {
				best = s
			}
			return true
		}
		for i := range at {
			for _, a := range c.places(grid, at, i) {
				if i > 0 && a <= at[i-1] || i+1 < len(at) && a >= at[i+1] {
					continue
				}
				next := slices.Clone(at)
				next[i] = a
				if !try(next) {
					return
				}
				shift := a - at[i]
				if i+1 == len(at) || at[len(at)-1]+shift > c.p.Spacers.Max {
					continue
				}
				for j := i + 1; j < len(next); j++ {
					next[j] += shift
				}
				if !try(next) {
					return
				}
			}
		}
		if best == here {
			return
		}
		here, at = best, best.Fixed
	}
}

// ranked gives the best of the settings tried, best first.
func (c *scorer) ranked() []*Scored { return c.top }
