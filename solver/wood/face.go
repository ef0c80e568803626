package wood

import (
	"math/bits"

	"github.com/ripwright/ripwright/solver/unit"
)

// Face gives the board's face area: the scanned wood between the edges, trim included.
// Areas are summed exactly per stretch between stations and each stretch is rounded down
// to whole units of unit.Area (1e-15 m2).
func (b *Board) Face() unit.Area {
	var total unit.Area
	b.Stretches(func(dx, n0, n1, f0, f1 unit.Length) {
		total += trapezoid(dx, f0-n0, f1-n1)
	})
	return total
}

// Band gives the area of the wood whose y lies in [lo, hi].
func (b *Board) Band(lo, hi unit.Length) unit.Area {
	near, _, _, far := b.Span()
	lo, hi = max(lo, near), min(hi, far) // there is no wood beyond
	if hi <= lo {
		return 0
	}
	var total unit.Area
	b.Stretches(func(dx, n0, n1, f0, f1 unit.Length) {
		total += under(dx, f0-lo, f1-lo, hi-lo) - under(dx, n0-lo, n1-lo, hi-lo)
	})
	return total
}

// Meets reports whether wood overlaps the open band (lo, hi) somewhere along
// the board with positive width.
func (b *Board) Meets(lo, hi unit.Length) bool {
	if hi <= lo {
		return false
	}
	// The edges are linear between stations and near <= far, so checking the stations is
	// enough: a band met in between is met at an end as well, unless the wood there has
	// no width.
	for i, s := range b.Stations {
		if s.Near < s.Far && s.Near < hi && s.Far > lo {
			return true
		}
		if i > 0 && b.meetsBetween(i, lo, hi) {
			return true
		}
	}
	return false
}

// meetsBetween looks inside a stretch whose two ends are both on one side of
// the band or have no width there.
func (b *Board) meetsBetween(i int, lo, hi unit.Length) bool {
	s, t := b.Stations[i-1], b.Stations[i]
	if s.Near == s.Far && t.Near == t.Far {
		return false
	}
	// The interior of the stretch is a trapezoid with positive width; it misses
	// the open band only if it lies wholly on one side of it.
	below, above := s.Far <= lo && t.Far <= lo, s.Near >= hi && t.Near >= hi
	return !below && !above
}

// Stretches calls f for each stretch of the board with straight edges:
// its length, and the near and far edges at its two ends.
func (b *Board) Stretches(f func(dx, n0, n1, f0, f1 unit.Length)) {
	first, last := b.Stations[0], b.Stations[len(b.Stations)-1]
	if first.X > 0 {
		f(first.X, first.Near, first.Near, first.Far, first.Far)
	}
	for i := 1; i < len(b.Stations); i++ {
		s, t := b.Stations[i-1], b.Stations[i]
		f(t.X-s.X, s.Near, t.Near, s.Far, t.Far)
	}
	if last.X < b.Length {
		f(b.Length-last.X, last.Near, last.Near, last.Far, last.Far)
	}
}

// trapezoid gives dx*(a+b)/2 as an Area, rounded down.
func trapezoid(dx, a, b unit.Length) unit.Area {
	if hi, lo := bits.Mul64(uint64(dx), uint64(a+b)); hi == 0 { // nearly always
		return unit.Area(lo / 2000)
	}
	return unit.Area(unit.MulDiv(int64(dx), int64(a+b), 2000))
}

// under gives the area below the line from a to b, over dx, clamped to [0, top].
func under(dx, a, b, top unit.Length) unit.Area {
	if a > b {
		a, b = b, a
	}
	switch {
	case b <= 0:
		return 0
	case a >= top:
		return trapezoid(dx, top, top)
	case a >= 0 && b <= top:
		return trapezoid(dx, a, b)
	}
	// Split where the line enters and leaves the band. With the rise b-a over dx, the
	// slanting part from height to height lies over dx*(to-from)/rise and is (from+to)/2
	// high on average; what is above the top is flat. The products are below 2^64 since
	// heights are below 2^32, see MaxSpan.
	rise := int64(b - a)
	from, to := int64(max(a, 0)), int64(min(b, top))
	area := unit.Area(unit.MulDiv(int64(dx), (to-from)*(to+from), 2000*rise))
	if b > top {
		area += unit.Area(unit.MulDiv(int64(dx), int64(b-top)*int64(top), 1000*rise))
	}
	return area
}
