package rip

import (
	"math"
	"math/bits"
	"slices"
	"unsafe"

	"github.com/ripwright/ripwright/solver/internal/search/budget"
)

// ceiling bounds the worth of what lies beyond a blade when only moving blades stand
// there, for a saw that has no others: for a blade whose kerf starts at height y of the
// board, with k further blades beyond it, it is at least the worth of all their strips,
// for any setting. Travels are left out, so one ceiling serves every fence position.
//
// Worth is kept in coarse units of 2^shift, rounded up, small enough that all sums of a
// board fit 62 bits; rounding costs a few units in 2^61, and final decisions use exact
// worth.
//
// Caps are kept as by a quota, with a table for each of its states. If that leaves some
// out, tolls stand for caps, and states only for those that tolls bound worst.
type ceiling struct {
	lo    int64 // height of entry 0; entries are a step apart
	n     int
	shift uint
	quota
	ceilingRoom
	longs  *slab[int64]
	budget *budget.Budget
	tops   []int64 // per want, of the widest strip over the whole length
	// near[w], far[w] are the cuts of want w in bands that start at the face of entry i
	// or end at entry i, the other side being clear; defects are ignored.
	near, far [][]cut
	tolls
	nearN     int // entries whose face is not clear over the whole length
	farFrom   int // first entry at which a strip's end is not
	spotStops int // widths of a range that share a measurement in spots
	// edge[w] are the cuts of want w in bands from a straight edge to each entry.
	edge      [][]cut
	narrowest int64 // strip that fits any want
	exact     bool  // each level is for its own number of blades
	worst     []int // wants whose caps the tuned levels overran, most often first
	tuned     bool  // caps have tolls, even if these are 0
	crowded   bool  // the number of blades binds, so that levels should be exact
}

// ceilingRoom is the part of a ceiling with its own memory, which is reused from search
// to search.
type ceilingRoom struct {
	// level[k*states+state] and the greatest of its entries from each one on.
	level, suffix [][]int64
	widths        []span // per want, in stops
	// spots[w] are the cuts of a want that refuses some defect, in bands that start at
	// the face of entry i: the narrowest of each spotStops widths, entry by entry, in
	// pages.
	spots      [][][]cut
	farWorth   [][]int64 // the worth of far
	nearTop    [][]int64 // the greatest worth of near, for ranges
	full       []fullStrip
	besideFull []fullStrip // of the want at hand
	windows    []window    // of ranges, clear from end to end
	beside     []window    // and beside an edge
	slides     []slide     // one for each window, then one for each want
}

// resize gives a slice of n entries, cleared, in the memory of another.
func resize[T any](s []T, n int) []T {
	s = slices.Grow(s[:0], n)[:n]
	clear(s)
	return s
}

// top bounds all cuttings with k blades beyond the first.
func (c *ceiling) top(k int) int64 {
	if c.n == 0 {
		return 0
	}
	return c.suffix[(k+1)*c.states-1][0] + c.back
}

// newCeiling makes a ceiling without its levels, with tolls if the quota leaves caps out.
func (s *search) newCeiling() *ceiling {
	c := s.measured()
	if !s.over() && !c.whole(s.in) {
		c.states, c.unit = 1, s.ints.take(s.in.caps)
		c.tuned = true
		c.tune(s)
	}
	return c
}

// tick and poll are the search's.
func (c *ceiling) tick(n int64) {
	if !c.budget.Spend(n) {
		panic(stopped{})
	}
}

func (c *ceiling) poll(i int) {
	if i&(stride-1) == 0 {
		c.tick(1)
	}
}

// ceilingFits reports whether there is room for a ceiling with a number of levels, and
// for as much again that is made with its help.
func (s *search) ceilingFits(levels int) bool {
	in := s.in
	high := max(in.outerHi-in.outerLo, 0)/in.step + 4
	beside := min(max(in.fullLo-in.outerLo, 0)/in.step+max(in.outerHi-in.fullHi, 0)/in.step+4, 2*high)
	each := int64(0) // of all wants
	for i := range in.wants {
		if in.straight {
			each += high * cutBytes
		}
		if in.wants[i].spotted() {
			each += high * cutBytes
		} else {
			each += beside * (cutBytes + 8)
		}
	}
	return s.budget.Fits(2 * (each + high*2*8*int64(levels*s.quota.states+1)))
}

const cutBytes = int64(unsafe.Sizeof(cut{}))

// measured makes a ceiling without levels and tolls.
func (s *search) measured() *ceiling {
	in := s.in
	c := &s.ceiling
	*c = ceiling{lo: in.stopDown(in.outerLo-in.kerf-in.gap) - in.step, quota: s.quota, longs: &s.longs, budget: s.budget, ceilingRoom: c.ceilingRoom}
	if in.outerHi > c.lo {
		c.n = int((in.outerHi-c.lo)/in.step) + 2
	}
	all := times(in.perWidth, max(in.outerHi-in.outerLo, 0))
	if all.Hi > 0 {
		c.shift = uint(bits.Len64(uint64(all.Hi))) + 4
	} else if n := bits.Len64(all.Lo); n > 60 {
		c.shift = uint(n - 60)
	}
	for i := range c.slides {
		c.slides[i].grown = grown{}
	}
	c.price = s.longs.take(len(in.wants))
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

// never is the worth of the impossible, low enough to add to.
const never = math.MinInt64 / 4
