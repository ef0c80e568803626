package rip

import (
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// cut is what the runs of a pocket give an item.
type cut struct {
	n      int64 // counted length, micrometres
	pieces int64 // towards a requirement in pieces
	value  int64 // of the crosscut pieces, millionths of money
}

// least is at most as good as both.
func (a cut) least(b cut) cut {
	return cut{min(a.n, b.n), min(a.pieces, b.pieces), min(a.value, b.value)}
}

// runs appends the usable runs of the band [p, q] for want w.
func (in *instance) runs(dst []wood.Stretch, w *want, p, q int64) []wood.Stretch {
	lo, hi := unit.Length(p), unit.Length(q)
	if !w.spotted() {
		return in.clear.Runs(dst, lo, hi)
	}
	in.bare = in.clear.Runs(in.bare[:0], lo, hi)
	return wood.WithoutThose(dst, in.bare, in.gaps, w.refused, lo, hi)
}

// fits reports whether a pocket of this width can have the want.
func (w *want) fits(width int64) bool { return w.lo <= width && width <= w.hi }

// counts reports whether a run is long enough to count.
func (w *want) counts(r wood.Stretch) bool {
	return int64(r.Length())*int64(unit.Micrometre) >= w.least
}

// count adds up runs. If not exact, it gives at least as much for them as for any runs
// within them.
func (w *want) count(runs []wood.Stretch, exact bool) (c cut) {
	for _, r := range runs {
		if !w.counts(r) {
			continue
		}
		l := int64(r.Length())
		c.n += l
		c.pieces = w.it.Counting().Pieces(c.pieces, unit.Run(l))
		if w.crosscut != nil {
			c.value += w.crosscut.Worth(l, exact)
		}
	}
	return c
}

// whole is the cut of a strip that is clear from end to end.
func (w *want) whole(length int64) cut {
	return w.count([]wood.Stretch{{From: 0, To: unit.Run(length)}}, false)
}

// counted gives what the band [p, q] gives want w, at least as much as any band that
// contains it.
func (s *search) counted(w *want, p, q int64) cut { return s.cutOf(w, p, q, false) }

// cutOf is counted, or, if exact, what the band itself gives.
func (s *search) cutOf(w *want, p, q int64, exact bool) cut {
	in := s.in
	if p < in.outerLo || q > in.outerHi {
		return cut{}
	}
	if !w.spotted() && p >= in.fullLo && q <= in.fullHi && (!exact || w.crosscut == nil) {
		return w.full
	}
	if !w.spotted() && w.crosscut == nil {
		if c, ok := s.remembered(w.index, p, q); ok {
			return c
		}
	}
	s.tick(1 + int64(len(w.refused))/32 + in.edges/64)
	s.found = in.runs(s.found[:0], w, p, q)
	s.tick(int64(len(s.found)) / stride)
	return w.count(s.found, exact)
}

// worth of a strip of the given width.
func (w *want) worth(width int64, c cut) worth {
	if w.crosscut != nil {
		return unit.WorthOf(c.value, int64(unit.SquareMetre), 1).Add(w.it.Bonus)
	}
	return w.it.Worth(unit.Length(width), c.n)
}

// byWidth reports whether a wider strip of the same length is worth more, by
// the same amount from each width to the next.
func (w *want) byWidth() bool {
	return w.crosscut == nil && w.it.ByWidth()
}

// slope is how much more a strip is worth from one stop of its width to the next, if
// byWidth.
func (in *instance) slope(w *want, c cut) worth { return w.it.Slope(unit.Length(in.step), c.n) }

// amount of a strip towards its item's cap.
func (w *want) amount(width int64, c cut) int64 {
	return w.it.Counting().Amount(unit.Length(width), c.n, c.pieces)
}
