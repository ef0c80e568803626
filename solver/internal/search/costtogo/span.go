package costtogo

import (
	"cmp"
	"slices"

	"github.com/ripwright/ripwright/solver/internal/search/model"
	"github.com/ripwright/ripwright/solver/unit"
)

// Span is the space between two fixed blades, neighbours among the fixed ones, with
// moving blades in it. Over one stop of the fence it is a right side whose last blade can
// stand in one place (Side, Within that fence). If all of it lies in the clear wood, the
// same can be cut of it at every stop; and nowhere more, except for face strips and caps,
// since what stands in the clear wood can only gain.
type Span struct {
	*Side
	near, far int64 // positions of the two fixed blades
	zero      int64 // height of the near one at the first stop of the fence
	facedFrom int   // the first stop at which the face may begin a strip
	plain     bool  // no want is spotted
	stops     int64 // between them
	lastE     int64 // no strip ends beyond
	firstE    int64 // or begins before
	room      [][]int64
	face      int64   // what a face strip brings at most
	free      [2]bool // whether only the near fixed blade keeps the moving ones from standing lower, and only the far one higher
	lo, hi    int64   // the highest first stop of the moving blades, the lowest last stop
}

// NewSpan gives the span between fixed blades i and j.
func NewSpan(p *Profile, i, j int) *Span {
	m := p.M
	s := newSide(p, false, i, j-i)
	c := &Span{Side: s, near: m.Blades[i].Lo, far: m.Blades[j].Lo, stops: (m.StopDown(m.Blades[j].Lo) - m.StopDown(m.Blades[i].Lo)) / m.Step}
	c.zero, c.facedFrom, c.plain = int64(p.zero(c.near)), p.facedFrom(c.near), m.Plain()
	c.firstE = unit.CeilDiv(m.OuterLo-m.Kerf-p.Base, m.Step)
	c.lastE = unit.FloorDiv(m.OuterHi-p.Base, m.Step)
	c.reach(i, j)
	if s.face {
		for k := range s.Moving {
			g, _ := s.faced(k)
			for _, x := range g.face {
				c.face = max(c.face, x.value)
			}
		}
	}
	return c
}

// reach looks at the travels of the blades between fixed ones i and j.
func (c *Span) reach(i, j int) {
	m := c.P.M
	apart := m.Kerf + m.Gap
	c.free = [2]bool{true, true}
	c.lo, c.hi = m.Blades[j-1].Lo, m.Blades[i+1].Hi
	for k, at := i+1, c.near; k < j; k++ {
		at = m.StopUp(at + apart)
		c.free[0] = c.free[0] && m.Blades[k].Lo == at
	}
	for k, at := j-1, c.far; k > i; k-- {
		at = m.StopDown(at - apart)
		c.free[1] = c.free[1] && m.Blades[k].Hi == at
	}
}

// Open reports whether the span, at a stop of the fence, equals a side without travels,
// beyond its near blade or before its far one: the other fixed blade stands beside the
// wood, the moving blades can stand there too, and no travel keeps one from where it may
// be wanted.
func (c *Span) Open(t int) (right, left bool) {
	p := c.P
	fence := p.M.Fence(t)
	if p.M.Board.StraightNear {
		return false, false
	}
	first, last := p.Y(0), p.Y(p.N-1)
	before, beyond := c.lo-fence <= first, c.hi-fence >= last
	i, e := c.Entries(t)
	right = e >= int64(p.N) && beyond && (before || c.free[0])
	left = i < 0 && before && (beyond || c.free[1])
	return right, left
}

// Half gives the side that an open span equals.
func (c *Span) Half(left bool) *Side {
	if left {
		return newSide(c.P, true, c.Root+c.Moving, c.Moving-1)
	}
	return newSide(c.P, false, c.Root, c.Moving-1)
}

// Entries gives where the two fixed blades stand at a stop of the fence, or the last
// stops before them.
func (c *Span) Entries(t int) (near, far int64) {
	near = c.zero - int64(t)
	return near, near + c.stops
}

// Clear reports whether every strip is clear from end to end, also of defects, at a stop
// of the fence.
func (c *Span) Clear(t int) bool {
	i, e := c.Entries(t)
	return i >= int64(c.pairs[c.Moving].startN) && e < int64(c.pairs[1].endN) && t < c.facedFrom && c.plain
}

// Loose bounds what the span brings at a stop of the fence by the room that the wood
// leaves it, and by known, what it brings if it is clear; below 0: that is not known.
func (c *Span) Loose(t int, known int64) int64 {
	i, e := c.Entries(t)
	fence := c.P.M.Fence(t)
	if c.last > 0 {
		e++
	}
	strips := c.Moving
	if c.near-fence+c.P.M.Kerf < c.P.M.OuterLo {
		i = max(i, c.firstE)
		strips--
	}
	if c.far-fence > c.P.M.OuterHi {
		e = min(e, c.lastE)
		strips--
	}
	most := int64(0)
	if e > i && strips > 0 {
		if c.room == nil {
			c.fillRoom()
		}
		most = c.room[strips][min(e-i, c.stops+1)]
	}
	if t >= c.facedFrom {
		return most + c.face
	}
	if known >= 0 {
		most = min(most, known)
	}
	return most
}

// fillRoom computes the most that a number of clear strips bring in a number of stops. If
// fixed blades stand between stops, it counts from the stop before the near one to that
// after the far one: each strip is then as wide as between two stops, or narrower by less
// than a stop.
func (c *Span) fillRoom() {
	n := int(c.stops) + 2
	p, m := c.P, c.P.M
	between := c.off > 0 || c.last > 0
	kinds := make([]kind, 0, len(p.items))
	for _, it := range p.items {
		x := kind{w: it.w, lo: max(int(unit.CeilDiv(m.Kerf+it.w.Lo, m.Step)), p.Spread), hi: int(unit.FloorDiv(m.Kerf+it.w.Hi, m.Step))}
		if between {
			x.hi++
		}
		if x.lo <= x.hi {
			x.full, x.slope = p.value(&x, m.Kerf, it.w.AtMost(it.w.Full.N))
			kinds = append(kinds, x)
		}
	}
	kinds = undominated(kinds)
	c.room = make([][]int64, c.Moving+1)
	c.room[0] = make([]int64, n)
	for j := 1; j <= c.Moving; j++ {
		less := c.room[j-1]
		at := append([]int64(nil), less...)
		c.room[j] = at
		for t := range kinds {
			c.roomOf(&kinds[t], less, at)
		}
		for r := 1; r < n; r++ {
			at[r] = max(at[r], at[r-1])
		}
	}
}

// roomOf raises what strips bring in a number of stops by one more of a kind.
func (c *Span) roomOf(x *kind, less, at []int64) {
	n := len(at)
	if x.slope == 0 { // less never falls
		for from := x.lo; from < n; from += 16 * blockLen {
			dst := at[from:min(from+16*blockLen, n)]
			src := less[from-x.lo:]
			src = src[:len(dst)]
			if c.P.Over(len(dst) / 2) {
				return
			}
			for i, v := range src {
				dst[i] = max(dst[i], v+x.full)
			}
		}
		return
	}
	deq := c.P.buf.deq[:0]
	head := 0
	for r := x.lo; r < n && !c.P.Over(2); r++ {
		s := r - x.lo
		v := less[s] - x.slope*int64(s)
		for len(deq) > head && less[deq[len(deq)-1]]-x.slope*int64(deq[len(deq)-1]) <= v {
			deq = deq[:len(deq)-1]
		}
		deq = append(deq, int32(s))
		for int(deq[head]) < r-x.hi {
			head++
		}
		b := int(deq[head])
		at[r] = max(at[r], less[b]+x.full+x.slope*int64(r-b-x.lo))
	}
	c.P.buf.deq = deq
}

// undominated leaves out kinds of fixed widths that are wider than another and worth no
// more.
func undominated(kinds []kind) []kind {
	slices.SortStableFunc(kinds, func(a, b kind) int { return cmp.Or(cmp.Compare(a.lo, b.lo), cmp.Compare(b.full, a.full)) })
	best, kept := never, kinds[:0]
	for i := range kinds {
		if x := &kinds[i]; x.slope > 0 || x.full > best {
			if kept = append(kept, *x); x.slope == 0 {
				best = x.full
			}
		}
	}
	return kept
}

// SpanCells is how many numbers all spans of a saw keep besides their tables.
func SpanCells(m *model.Model) (n int64) {
	fixed := -1
	for j := range m.Blades {
		if m.Blades[j].Moving {
			continue
		}
		if fixed >= 0 && j > fixed+1 {
			rough := min(max(m.FullLo-m.WoodLo, 0)+max(m.WoodHi-m.FullHi, 0), 2*(m.WoodHi-m.WoodLo))/m.Step + 4
			n += rough * int64(4*len(m.Wants))
			n += ((m.Blades[j].Lo-m.Blades[fixed].Lo)/m.Step + 3) * int64(j-fixed+1)
		}
		fixed = j
	}
	return n
}
