package wood

import (
	"github.com/ripwright/ripwright/solver/unit"
)

// Stretch is a closed stretch of x in micrometres, its ends rounded inward.
type Stretch struct {
	From, To unit.Run
}

// Length of the stretch.
func (s Stretch) Length() unit.Run { return s.To - s.From }

// Clear gives where the trimmed wood covers a band of y. The band [lo, hi] is covered at
// x if near(x)+trimNear <= lo and hi <= far(x)-trimFar; touching counts as covering.
//
// Each edge alone leaves a list of stretches for a given height; a band's usable runs are
// the intersections of the two lists. Heights at or beyond an edge's extreme leave the
// whole board, which is the common case and costs nothing.
type Clear struct {
	near, far edge
	length    unit.Run
	// scratch for the stretches of the two edges
	a, b []Stretch
}

// NewClear prepares a board; trim is taken off both edges, or off the far one alone if
// the near edge is straight.
func NewClear(b *Board, trim unit.Length) *Clear {
	nearTrim := trim
	if b.StraightNear {
		nearTrim = 0
	}
	c := &Clear{length: b.Length.Floor()}
	c.near.init(b, func(s Station) unit.Length { return s.Near + nearTrim })
	// The far edge is mirrored, so that the same code serves both.
	c.far.init(b, func(s Station) unit.Length { return -(s.Far - trim) })
	return c
}

// Length is the board's length in whole micrometres.
func (c *Clear) Length() unit.Run { return c.length }

// Full gives the band over which the board is clear from end to end; it is empty if lo >
// hi.
func (c *Clear) Full() (lo, hi unit.Length) { return c.near.top, -c.far.top }

// Outer gives the least lo and the greatest hi at which anything is clear.
func (c *Clear) Outer() (lo, hi unit.Length) { return c.near.bottom, -c.far.bottom }

// Runs appends the usable runs of the band [lo, hi] to dst, in order of x. Stretches of
// no length are left out. If lo is above hi, it gives where the near edge lies below lo
// and the far edge above hi, which bounds the runs of bands in between.
func (c *Clear) Runs(dst []Stretch, lo, hi unit.Length) []Stretch {
	nearFull, farFull := lo >= c.near.top, -hi >= c.far.top
	switch {
	case nearFull && farFull:
		return append(dst, Stretch{0, c.length})
	case nearFull:
		return c.far.below(dst, -hi)
	case farFull:
		return c.near.below(dst, lo)
	}
	c.a = c.near.below(c.a[:0], lo)
	c.b = c.far.below(c.b[:0], -hi)
	i, j := 0, 0
	for i < len(c.a) && j < len(c.b) {
		s := Stretch{max(c.a[i].From, c.b[j].From), min(c.a[i].To, c.b[j].To)}
		if s.From < s.To {
			dst = append(dst, s)
		}
		if c.a[i].To < c.b[j].To {
			i++
		} else {
			j++
		}
	}
	return dst
}

// edge is one edge of the board as heights, for finding where it lies at or below a
// height.
type edge struct {
	x, h        []unit.Length
	top, bottom unit.Length
	length      unit.Length
}

func (e *edge) init(b *Board, height func(Station) unit.Length) {
	e.length = b.Length
	n := len(b.Stations)
	e.x, e.h = make([]unit.Length, 0, n), make([]unit.Length, 0, n)
	for i, s := range b.Stations {
		h := height(s)
		if i == 0 {
			e.top, e.bottom = h, h
		}
		e.top, e.bottom = max(e.top, h), min(e.bottom, h)
		// A station on the straight line of its neighbours adds nothing; level stretches
		// are by far the commonest case.
		if k := len(e.h); k >= 2 && e.h[k-1] == h && e.h[k-2] == h {
			e.x[k-1] = s.X
			continue
		}
		e.x, e.h = append(e.x, s.X), append(e.h, h)
	}
}

// below appends the stretches over which the edge lies at or below height y,
// ends rounded inward to whole micrometres.
func (e *edge) below(dst []Stretch, y unit.Length) []Stretch {
	if y < e.bottom {
		return dst
	}
	from, inside := unit.Run(0), e.h[0] <= y
	for i, h1 := range e.h {
		if (h1 <= y) == inside {
			continue
		}
		h0 := e.h[i-1]
		if inside { // the wood is left at the crossing, rounded down
			x := e.x[i-1] + unit.Length(unit.MulDiv(int64(e.x[i]-e.x[i-1]), int64(y-h0), int64(h1-h0)))
			if to := x.Floor(); to > from {
				dst = append(dst, Stretch{from, to})
			}
		} else { // it is entered at the crossing, rounded up
			x := e.x[i-1] + unit.Length(unit.MulDivCeil(int64(e.x[i]-e.x[i-1]), int64(h0-y), int64(h0-h1)))
			from = unit.Run(unit.CeilDiv(int64(x), 1000))
		}
		inside = !inside
	}
	if inside {
		if to := e.length.Floor(); to > from {
			dst = append(dst, Stretch{from, to})
		}
	}
	return dst
}
