package arbor

import (
	"slices"

	"github.com/ripwright/ripwright/solver/unit"
)

// first is the lowest position that the spacers allow.
func (s *Spacers) first() unit.Length {
	return unit.Length(unit.CeilDiv(int64(s.Min-s.Origin), int64(s.Increment)))*s.Increment + s.Origin
}

// positions is the number of positions that the spacers allow.
func (s *Spacers) positions() int { return max(int((s.Max-s.first())/s.Increment)+1, 0) }

// grid gives all positions that the spacers allow, in ascending order.
func (s *Spacers) grid() []unit.Length {
	at := make([]unit.Length, s.positions())
	for i := range at {
		at[i] = s.first() + unit.Length(i)*s.Increment
	}
	return at
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

// enumerate goes through all settings until next has enough. The slice passed to next is
// reused after it returns.
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

// nearest moves every blade to the nearest position of the grid, the lower one of two.
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
