package costtogo

import (
	"github.com/ripwright/ripwright/solver/internal/search/model"
	"github.com/ripwright/ripwright/solver/unit"
)

// Span is the space between two fixed blades, neighbours among those that are fixed,
// with blades that move in it. Over one stop of the fence it is a right side whose last
// blade can stand in one place (Side, Within that fence). Where all of it lies in the
// clear wood, the same can be cut of it at every stop; and nowhere more, but for face
// strips and caps, as what stands in the clear wood can only gain.
type Span struct {
	*Side
	near, stops int64 // position of the first fixed blade, and from there to the other
	lastE       int64 // no strip ends beyond
	firstE      int64 // or begins before
	room        [][]int64
	face        int64 // what a face strip brings at most
}

// NewSpan gives the span between fixed blades i and j, both on the step.
func NewSpan(p *Profile, i, j int) *Span {
	m := p.M
	s := NewSide(p, false, j-i)
	s.Root = i
	c := &Span{Side: s, near: m.Blades[i].Lo, stops: (m.Blades[j].Lo - m.Blades[i].Lo) / m.Step}
	c.firstE = unit.CeilDiv(m.OuterLo-m.Kerf-p.Base, m.Step)
	c.lastE = unit.FloorDiv(m.OuterHi-p.Base, m.Step)
	for _, x := range p.face {
		c.face = max(c.face, x.value)
	}
	return c
}

// Entries gives where the two fixed blades stand at a fence.
func (c *Span) Entries(fence int64) (near, far int64) {
	near = unit.FloorDiv(c.near-fence-c.P.Base, c.P.M.Step)
	return near, near + c.stops
}

// Clear reports whether every strip is clear from end to end at a fence.
func (c *Span) Clear(fence int64) bool {
	i, e := c.Entries(fence)
	return i >= int64(c.P.nearN) && e < int64(c.P.farN) && !c.faced(fence)
}

// faced reports whether the face of the fence may begin a strip.
func (c *Span) faced(fence int64) bool {
	return c.P.M.Board.StraightNear && c.near-fence+c.P.M.Kerf <= 0
}

// Loose bounds what the span brings at a fence by the room that the wood leaves it, and
// by known, what it brings where it is clear; below 0 that is not known.
func (c *Span) Loose(fence, known int64) int64 {
	i, e := c.Entries(fence)
	strips := c.Moving
	if i < c.firstE {
		i = c.firstE
		strips--
	}
	if e > c.lastE {
		e = c.lastE
		strips--
	}
	most := int64(0)
	if e > i && strips > 0 {
		if c.room == nil {
			c.fillRoom()
		}
		most = c.room[strips][e-i]
	}
	if c.faced(fence) {
		return most + c.face
	}
	if known >= 0 {
		most = min(most, known)
	}
	return most
}

// fillRoom works out the most that so many clear strips bring in so many stops.
func (c *Span) fillRoom() {
	n := int(c.stops) + 1
	c.room = make([][]int64, c.Moving+1)
	c.room[0] = make([]int64, n)
	for j := 1; j <= c.Moving; j++ {
		less := c.room[j-1]
		at := append([]int64(nil), less...)
		for t := range c.P.kinds {
			x := &c.P.kinds[t]
			var deq []int32
			head := 0
			for r := x.lo; r < n && !c.P.Over(2); r++ {
				if x.slope == 0 { // less never falls
					at[r] = max(at[r], less[r-x.lo]+x.full)
					continue
				}
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
		}
		for r := 1; r < n; r++ {
			at[r] = max(at[r], at[r-1])
		}
		c.room[j] = at
	}
}

// SpanCells is how many numbers all spans of a saw keep besides their tables.
func SpanCells(m *model.Model) (n int64) {
	fixed := -1
	for j := range m.Blades {
		if m.Blades[j].Moving {
			continue
		}
		if fixed >= 0 && j > fixed+1 {
			n += ((m.Blades[j].Lo-m.Blades[fixed].Lo)/m.Step + 2) * int64(j-fixed+1)
		}
		fixed = j
	}
	return n
}
