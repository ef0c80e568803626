package rip

import (
	"github.com/ripwright/ripwright/solver/unit"
)

// extend puts one more blade before those of next.
func (s *search) extend(t, next *table) bool {
	in := s.in
	n := len(t.score)
	// idle[i] bounds what follows if the next blade stands at i or beyond. A blade that
	// has left the wood cuts nothing and nothing follows it.
	idle := s.scores.take(n + 1)
	cut := s.longs.take(n + 1) // whether the next blade at i is in the wood
	for i := n - 1; i >= 0; i-- {
		s.poll(i)
		if s.inWood(t.lo + int64(i)*in.step) {
			cut[i] = 1
		}
		idle[i] = next.score[i]
		idle[i].Blades += cut[i]
		if idle[i+1].Cmp(&idle[i]) > 0 {
			idle[i] = idle[i+1]
		}
	}
	level := s.newLevel(next, cut)
	widest := int(unit.CeilDiv(level.widest+in.kerf, in.step))
	var lead struct { // the last best strip
		w  *want
		at int
	}
	for i := range t.score {
		s.poll(i)
		face := t.lo + int64(i)*in.step + in.kerf
		first := min(int(unit.CeilDiv(face+in.gap-t.lo, in.step)), n)
		if i > 0 && face-in.step >= in.fullLo && face+level.widest <= in.fullHi &&
			level.over(first-1, i+widest) && idle[first] == idle[first-1] {
			t.score[i] = t.score[i-1]
			continue
		}
		if !s.spend(int64(len(in.wants))/4 + 1) {
			return false
		}
		best := idle[first]
		if in.reripWidth > 0 { // any gap beyond may be fed again
			if r := max(in.fullHi-max(face, in.fullLo), 0); r > 0 {
				best.Worth = best.Worth.Add(unit.WorthOf(in.reripV, r, in.length))
				best.Dev, best.Area, best.Blades = 0, unknownArea, 0
			}
		}
		if in.straight {
			face = max(face, 0)
		}
		if face >= in.outerLo {
			if lead.w != nil { // most often the best again, or nearly
				s.tableStrips(&best, lead.w, face, next, cut, max(first, lead.at), lead.at+1)
			}
			for _, k := range in.byTop {
				w := &in.wants[k]
				if w.top.Add(idle[first].Worth).Cmp(best.Worth) < 0 {
					break // the same holds for those that follow
				}
				if at := s.tableStrips(&best, w, face, next, cut, first, n-1); at >= 0 {
					lead.w, lead.at = w, at
				}
			}
		}
		t.score[i] = best
	}
	return true
}

// tableStrips raises best to the greatest score of a strip of want w from face on with
// all that follows it. The widths of a random range are taken in blocks from the widest
// down; a block is skipped if its greatest width, longest run and greatest rest together
// fall short. It gives the entry at which the best strip ends, or -1 if none is better.
func (s *search) tableStrips(best *score, w *want, face int64, next *table, inWood []int64, first, last int) (at int) {
	at = -1
	step := next.step
	lo := max(int(unit.CeilDiv(face+w.lo-next.lo, step)), first)
	hi := min(int(unit.FloorDiv(min(face+w.hi, s.in.outerHi)-next.lo, step)), len(next.score)-1, last)
	beside, off := w.plain() && face >= s.in.fullLo, (next.lo-s.farSide.base)/step
	s.tick(1)
	for i := hi; i >= lo; i-- {
		s.poll(i)
		q := next.lo + int64(i)*step
		if i-lo >= 4 && (i == hi || i%fineLen == fineLen-1) {
			if start := s.shortFrom(best, w, face, next, i, max(lo, 0), i == hi); start <= i {
				i = start
				continue
			}
		}
		c := cut{}
		if beside {
			c = s.farSide.next(s, w, int64(i)+off, face, q)
		} else {
			c = s.cutOf(w, face, q, true)
		}
		if c.n > 0 && w.betters(best, q-face, c, &next.score[i], inWood[i]) {
			at = i
		}
	}
	return at
}

// shortFrom gives the first entry of a block that ends at entry i and falls short, a
// whole block if possible, otherwise a fine one; i + 1 if none does. If begins is set, i
// need not be the last entry of a block.
func (s *search) shortFrom(best *score, w *want, face int64, next *table, i, lo int, begins bool) int {
	wide := min(next.lo+int64(i)*next.step-face, w.hi)
	for size := blockLen; size >= fineLen; size /= blockLen / fineLen {
		if !begins && i%size != size-1 {
			continue
		}
		s.poll(i / fineLen)
		start := max(i&^(size-1), lo)
		c := s.counted(w, face, next.lo+int64(start)*next.step)
		if c.n == 0 || w.worth(wide, c).Add(next.block[i/blockLen].Worth).Cmp(best.Worth) < 0 {
			return start
		}
	}
	return i + 1
}

// betters raises best to a strip of the want with rest and a blade to follow, and reports
// whether that is better.
func (w *want) betters(best *score, width int64, c cut, rest *score, blades int64) bool {
	worth := w.worth(width, c).Add(rest.Worth)
	if worth.Cmp(best.Worth) < 0 {
		return false
	}
	all := w.scored(width, c)
	all.Add(rest)
	all.Blades += blades
	if all.Cmp(best) <= 0 {
		return false
	}
	*best = all
	return true
}

// scored scores a strip of one width.
func (w *want) scored(width int64, c cut) score {
	sc := score{Worth: w.worth(width, c), Area: width * c.n}
	if !w.it.Random {
		sc.Dev = max(width-int64(w.it.Min), int64(w.it.Min)-width)
	}
	return sc
}
