package incumbent

import (
	"math"

	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// edges remembers where each edge leaves the board clear, by height.
type edges struct {
	clear     *wood.Clear
	near, far cache
	runs      []wood.Stretch
}

// cache maps heights to stretches. Of two heights with the same place, the later replaces
// the earlier.
type cache struct {
	height []int64
	from   []int32
	n      []int32
	all    []wood.Stretch
}

const places = 1 << 9 // of a cache

// mostKept is how many stretches a cache keeps before it starts again.
const mostKept = 1 << 14

const far = int64(1) << 50 // beyond all heights

func (c *cache) reset() {
	if c.height == nil {
		c.height, c.from, c.n = make([]int64, places), make([]int32, places), make([]int32, places)
	}
	for i := range c.height {
		c.height[i] = math.MinInt64
	}
	c.all = c.all[:0]
}

// at gives the stretches of a height; measure appends them if they are unknown.
func (c *cache) at(y, step int64, measure func(dst []wood.Stretch) []wood.Stretch) []wood.Stretch {
	i := uint64(y/step) * 0x9e3779b97f4a7c15 >> (64 - 9)
	if c.height[i] != y {
		if len(c.all) > mostKept {
			c.reset()
		}
		c.height[i], c.from[i] = y, int32(len(c.all))
		c.all = measure(c.all)
		c.n[i] = int32(len(c.all)) - c.from[i]
	}
	return c.all[c.from[i] : c.from[i]+c.n[i]]
}

// between gives the runs that the edges leave of the band [lo, hi].
func (h *heuristic) between(lo, hi int64) []wood.Stretch {
	e, p := &h.edges, h.p
	nearClear, farClear := lo >= p.FullLo, hi <= p.FullHi
	switch {
	case nearClear && farClear:
		return h.whole
	case nearClear:
		return h.farRuns(hi)
	case farClear:
		return h.nearRuns(lo)
	}
	a, b := h.nearRuns(lo), h.farRuns(hi)
	e.runs = e.runs[:0]
	for i, j := 0, 0; i < len(a) && j < len(b); {
		s := wood.Stretch{From: max(a[i].From, b[j].From), To: min(a[i].To, b[j].To)}
		if s.From < s.To {
			e.runs = append(e.runs, s)
		}
		if a[i].To < b[j].To {
			i++
		} else {
			j++
		}
	}
	return e.runs
}

func (h *heuristic) nearRuns(y int64) []wood.Stretch {
	return h.edges.near.at(y, h.p.Step, func(dst []wood.Stretch) []wood.Stretch {
		return h.edges.clear.Runs(dst, unit.Length(y), -unit.Length(far))
	})
}

func (h *heuristic) farRuns(y int64) []wood.Stretch {
	return h.edges.far.at(y, h.p.Step, func(dst []wood.Stretch) []wood.Stretch {
		return h.edges.clear.Runs(dst, unit.Length(far), unit.Length(y))
	})
}

// strip measures an item in the band [lo, hi].
func (h *heuristic) strip(item int, lo, hi int64) (worth, amount int64) {
	p := h.p
	if lo < p.OuterLo || hi > p.OuterHi {
		return 0, 0
	}
	it := &p.Items[item]
	if lo >= p.FullLo && hi <= p.FullHi && !it.Spotted && !it.ByWidth && it.Open == 0 {
		return h.full[item].worth, h.full[item].amount
	}
	h.work += h.cost
	if it.Spotted {
		h.work += int64(p.Defects) / 64
	}
	return p.Strip(item, lo, hi, h.between(lo, hi))
}
