package costtogo

import (
	"github.com/ripwright/ripwright/solver/internal/search/model"
	"github.com/ripwright/ripwright/solver/unit"
)

// Strip is a strip between two blades.
type Strip struct {
	Want  *model.Want
	End   int // entry of the blade that ends it
	State int // what it leaves of the caps that are kept
	Score model.Score
}

// Clear is the strips of a range of widths that begin at one entry, are clear from end to
// end and end at entries From to To: their scores are linear in the end.
type Clear struct {
	Want     *model.Want
	Kind     int // index of the range among all that is cut
	From, To int
	State    int // what any of them leaves of the caps that are kept
	Part         // the widths that they have
}

// Strips calls f for every strip that begins at entry i, with k blades and a state to
// come, and that with the most beyond it is worth at least need. If many clear strips of
// a range are, it first offers them to wide, all at once; those that wide reports to have
// taken are left out.
func (s *Side) Strips(k, st, i int, need int64, wide func(Clear) bool, f func(Strip)) {
	if i < 0 || i >= s.P.N || k == 0 {
		return
	}
	q := s.States.Count
	below := &s.levels[(k-1)*q+st]
	g := s.pairs[k]
	for t := range g.groups {
		x := &g.groups[t]
		first, last := max(i+x.lo, below.lo), min(i+x.hi, below.hi-1)
		if s.P.Over(1) {
			return
		}
		if first > last || below.about(first)+x.full+x.slope*int64(last-i-x.lo) < need {
			continue
		}
		for kind, end := x.zone(i); kind < end && !s.P.Over(1); kind++ {
			s.strips(g, kind, k, st, i, need, wide, f)
		}
	}
}

// strips is Strips for one kind.
func (s *Side) strips(g *pair, kind, k, st, i int, need int64, wide func(Clear) bool, f func(Strip)) {
	q := s.States.Count
	below := &s.levels[(k-1)*q+st]
	x := &g.kinds[kind]
	if i < x.from || i >= x.to {
		return
	}
	v, slope := x.full, x.slope
	if i < g.startN {
		if v = x.start.value[i-x.from]; v == never {
			return
		}
		slope = x.start.slope[i-x.from]
	}
	first, last := max(i+x.lo, x.first, below.lo), min(i+x.hi, x.last-1, below.hi-1)
	if first > last || below.about(first)+v+slope*int64(last-i-x.lo) < need {
		return
	}
	if end := min(last, g.endN-1); x.w.It.Random && i >= g.startN && end-first >= manyEnds && x.spot == nil {
		s.parted(g, x, st, func(p Part, to int) {
			from, end, below := max(i+p.Lo, first), min(i+p.Hi, end), &s.levels[(k-1)*q+to]
			if !s.many(below, x, i, from, end, need) || !wide(Clear{x.w, kind, from, end, to, p}) {
				s.clear(g, x, below, i, from, end, need, to, f)
			}
		})
		first = end + 1
	}
	for from := first; from <= last; {
		end := min((from/blockLen+1)*blockLen-1, last)
		if s.P.Over(4) {
			return
		}
		if below.block[from/blockLen]+v+slope*int64(end-i-x.lo) >= need {
			s.P.Over(end + 1 - from)
			for e := from; e <= end; e++ {
				if below.at[e]+v+slope*int64(e-i-x.lo) >= need {
					s.strip(x, k, st, i, e, need, f)
				}
			}
		}
		from = end + 1
	}
}

// Part is a part of the widths of a range, by what a clear strip of them uses up of a cap.
type Part struct {
	Index  int
	Lo, Hi int // stops from blade to blade
}

// parted calls f with the parts of a range and the state that clear strips of each leave.
// If a strip may be spared, all that use up anything are one more part.
func (s *Side) parted(g *pair, x *kind, st int, f func(p Part, to int)) {
	w, t := x.w, s.States
	if !t.Parts(w) {
		t.After(st, w, w.Lo, x.n, func(to int) { f(Part{0, x.lo, x.hi}, to) })
		return
	}
	from := func(q int) int { // stops of strips that use up q parts
		if v := t.From(w, x.n, q); v <= int64(x.hi)*s.P.M.Step-g.take {
			return int(unit.CeilDiv(v+g.take, s.P.M.Step))
		}
		return x.hi + 1
	}
	most := t.Most(w)
	for q, lo := 0, x.lo; q <= most && lo <= x.hi; q++ {
		hi := x.hi
		if q < most {
			hi = min(from(q+1)-1, hi)
		}
		if to, ok := t.Less(st, w, q); ok && lo <= hi {
			f(Part{q, lo, hi}, to)
		}
		lo = max(lo, hi+1)
	}
	if to, ok := t.Spare(st, w); ok {
		if lo := max(from(1), x.lo); lo <= x.hi {
			f(Part{most + 1, lo, x.hi}, to)
		}
	}
}

// clear calls f for the clear strips of a range from an entry to some, which leave one
// state, that are worth at least need.
func (s *Side) clear(g *pair, x *kind, below *level, i, from, to int, need int64, state int, f func(Strip)) {
	for from <= to {
		end := min((from/blockLen+1)*blockLen-1, to)
		if s.P.Over(4) {
			return
		}
		if below.block[from/blockLen]+x.full+x.slope*int64(end-i-x.lo) >= need {
			s.P.Over(end + 1 - from)
			for e := from; e <= end; e++ {
				if below.at[e]+x.full+x.slope*int64(e-i-x.lo) >= need {
					s.P.Over(16)
					f(Strip{x.w, e, state, x.w.Strip(int64(e-i)*s.P.M.Step-g.take, x.cut)})
				}
			}
		}
		from = end + 1
	}
}

// manyEnds is how many strips of a range count as many.
const manyEnds = 12

// many reports whether many clear strips of a range are worth at least need.
func (s *Side) many(below *level, x *kind, i, from, to int, need int64) bool {
	n := 0
	for e := from; e <= to && !s.P.Over(1); e++ {
		if b := e / blockLen; e%blockLen == 0 && below.block[b]+x.full+x.slope*int64(min((b+1)*blockLen, to)-i-x.lo) < need {
			e += blockLen - 1
			continue
		}
		if below.at[e]+x.full+x.slope*int64(e-i-x.lo) >= need {
			if n++; n > manyEnds {
				return true
			}
		}
	}
	return false
}

// Useful marks the ends at which clear strips of a range, with k blades and a state
// before them, can be among the best from where they begin.
func (s *Side) Useful(k, st int, c *Clear, mark []bool) {
	g := s.pairs[k]
	x := &g.kinds[c.Kind]
	above, below := &s.levels[k*s.States.Count+st], &s.levels[(k-1)*s.States.Count+c.State]
	lo, hi := s.window(k)
	lo = max(lo, g.startN)
	// A strip from i to e is if at(e) + slope e is not below need(i), so the least need
	// in the window counts: a monotone deque again.
	need := func(i int) int64 {
		if above.at[i] < 0 {
			return -never
		}
		return above.at[i] - s.P.Slack + x.slope*int64(i+x.lo) - x.full
	}
	deq := s.P.buf.deq[:0]
	head, next := 0, lo
	for e := max(lo+c.Lo, below.lo); e < min(g.endN, below.hi); e++ {
		if e%blockLen == 0 && s.P.Over(2*blockLen) {
			break
		}
		for ; next < hi && next <= e-c.Lo; next++ {
			v := need(next)
			for len(deq) > head && need(int(deq[len(deq)-1])) >= v {
				deq = deq[:len(deq)-1]
			}
			deq = append(deq, int32(next))
		}
		for head < len(deq) && int(deq[head]) < e-c.Hi {
			head++
		}
		mark[e] = head < len(deq) && below.at[e] >= 0 && below.at[e]+x.slope*int64(e) >= need(int(deq[head]))
	}
	s.P.buf.deq = deq
}

// Linear splits a clear strip's score of a range, with k blades before it, into a part
// that depends on its end and a part, to be subtracted, that depends on its beginning,
// each for entry e.
func (s *Side) Linear(k int, w *model.Want, e int) (end, begin model.Score) {
	at := int64(e) * s.P.M.Step
	from := at + s.pairs[k].take
	if w.ByWidth() {
		end.Worth, begin.Worth = w.Worth(at, w.Full), w.It.Sold(unit.Length(from), w.Full.N)
	} else {
		end.Worth = w.Worth(0, w.Full)
	}
	end.Area, begin.Area = at*w.Full.N, from*w.Full.N
	return end, begin
}

func (s *Side) strip(x *kind, k, st, i, e int, need int64, f func(Strip)) {
	g := s.pairs[k]
	if e >= g.endN {
		j := e - x.endAt
		if x.end.value[j]+x.end.slope[j]*int64(e-i-x.lo)+s.At(k-1, st, e) < need {
			return
		}
	}
	s.P.Over(16)
	cut := g.counted(s.P, x, i, e)
	if cut.N == 0 {
		return
	}
	width := int64(e-i)*s.P.M.Step - g.take
	v, slope := x.full, x.slope
	switch rough := i < g.startN; {
	case rough && e >= g.endN || s.P.of != nil:
		v, slope = s.P.value(x, g.take, cut)
	case rough:
		v, slope = x.start.value[i-x.from], x.start.slope[i-x.from]
	case e >= g.endN:
		v, slope = x.end.value[e-x.endAt], x.end.slope[e-x.endAt]
	}
	s.States.After(st, x.w, width, cut.N, func(to int) {
		if v+slope*int64(e-i-x.lo)+s.At(k-1, to, e) >= need {
			f(Strip{x.w, e, to, x.w.Strip(width, cut)})
		}
	})
}

// InWood is 1 if the blade with k to come has its kerf in the wood at an entry, otherwise
// 0.
func (s *Side) InWood(k, e int) int64 {
	y := s.Y(k, e)
	if y+s.P.M.Kerf > s.P.M.WoodLo && y < s.P.M.WoodHi {
		return 1
	}
	return 0
}
