package rip

import (
	"math"
	"math/bits"

	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// ceiling bounds the worth of what lies beyond a blade when only moving blades
// stand there, for a saw that has no others: for a blade whose kerf starts at a
// height y of the board, with k further blades beyond it, it is at least the
// worth of all their strips, however they are set. Travels are left out, so one
// ceiling serves every fence position.
//
// Worth is kept in coarse units of 2^shift, rounded up, small enough that all
// the sums of a board fit 62 bits; rounding costs a few units in 2^61, and what
// is decided in the end is decided on exact worth.
//
// Caps are kept as a quota keeps them, a table for each of its states.
type ceiling struct {
	lo    int64 // height of entry 0; entries are a step apart
	n     int
	shift uint
	quota
	// level[k*states+state] and the greatest of its entries from each on.
	level, suffix [][]int64
	longs         *slab[int64]
	// near[w], far[w] are the counted lengths of want w in bands that start at
	// face i or end at entry i, the other side being clear.
	near, far [][]int64
	nearN     int // entries whose face is not clear over the whole length
	farFrom   int // first entry at which a strip's end is not
	window    [3][]int64
	narrowest int64 // strip that fits any want
	tmp       []int64
}

func (s *search) newCeiling() *ceiling {
	in := s.in
	c := &ceiling{lo: in.stopDown(in.outerLo-in.kerf-in.gap) - in.step, quota: s.quota, longs: &s.longs}
	if in.outerHi > c.lo {
		c.n = int((in.outerHi-c.lo)/in.step) + 2
	}
	all := times(in.perWidth, max(in.outerHi-in.outerLo, 0))
	if all.Hi > 0 {
		c.shift = uint(bits.Len64(uint64(all.Hi))) + 4
	} else if n := bits.Len64(all.Lo); n > 60 {
		c.shift = uint(n - 60)
	}
	c.measure(s)
	return c
}

// up gives worth in coarse units, rounded up.
func (c *ceiling) up(w worth) int64 {
	v := c.down(w)
	if w.Lo&(1<<c.shift-1) != 0 {
		v++
	}
	return v
}

func (c *ceiling) down(w worth) int64 {
	if c.shift == 0 {
		return int64(w.Lo)
	}
	return int64(w.Lo>>c.shift | uint64(w.Hi)<<(64-c.shift))
}

// index of a height, for heights within the entries.
func (c *ceiling) index(in *instance, y int64) int { return int((y - c.lo) / in.step) }

// over bounds what lies beyond a blade at y with k blades beyond it.
func (c *ceiling) over(in *instance, k, state int, y int64) int64 {
	switch {
	case y < c.lo:
		return c.suffix[k*c.states+state][0]
	case y >= c.lo+int64(c.n)*in.step:
		return 0
	}
	return c.level[k*c.states+state][c.index(in, y)]
}

// measure fills near and far.
func (c *ceiling) measure(s *search) {
	in := s.in
	c.near, c.far = s.lists.take(len(in.wants)), s.lists.take(len(in.wants))
	c.nearN = min(max(int(unit.CeilDiv(in.fullLo-in.kerf-c.lo, in.step)), 0), c.n)
	c.farFrom = min(max(int(unit.FloorDiv(in.fullHi-c.lo, in.step))+1, 0), c.n)
	c.narrowest = max(in.outerHi-in.outerLo, 0)
	for k := range in.wants {
		c.narrowest = min(c.narrowest, in.wants[k].lo)
		c.near[k], c.far[k] = s.longs.take(c.nearN), s.longs.take(c.n-c.farFrom)
	}
	fill := func(to [][]int64, i int, lo, hi int64) {
		if lo < in.outerLo || hi > in.outerHi {
			return
		}
		s.runs = in.clear.Runs(s.runs[:0], unit.Length(lo), unit.Length(hi))
		for k := range in.wants {
			to[k][i] = in.wants[k].counted(s.runs)
		}
	}
	// With the other side at the end of the full band one edge alone decides.
	for i := range c.nearN {
		fill(c.near, i, s.clamp(c.lo+int64(i)*in.step+in.kerf), in.fullHi)
	}
	for i := c.farFrom; i < c.n; i++ {
		fill(c.far, i-c.farFrom, in.fullLo, c.lo+int64(i)*in.step)
	}
}

// counted is count without the pieces.
func (w *want) counted(runs []wood.Stretch) (n int64) {
	for _, r := range runs {
		if l := r.Length(); unit.Length(l)*unit.Micrometre >= w.it.LeastLength {
			n += int64(l)
		}
	}
	return n
}

const never = math.MinInt64 / 4
