package rip

import "github.com/ripwright/ripwright/solver/unit"

// leftTables builds the bounds on what lies before a blade with 0 to m further moving
// blades before it. It gives nil if the search was stopped.
func (s *search) leftTables(m int) []table {
	s.w = fences{} // positions on the arbor are those of the board
	tables := s.tablesOf.take(m + 1)
	for k := range tables {
		t := &tables[k]
		if m == 0 && !s.in.straight && s.in.reripWidth == 0 {
			*t = table{step: s.in.step} // nothing can be gained there
			break
		}
		*t = s.newTable()
		if k > 0 {
			if !s.extendLeft(t, &tables[k-1]) {
				return nil
			}
		} else {
			for i := range t.score {
				s.poll(i)
				t.score[i] = s.edgeBound(t.lo + int64(i)*t.step)
			}
		}
		t.above = s.closeTable(t)
		if k > 0 && tables[k-1].above.Cmp(&t.above) > 0 {
			t.above = tables[k-1].above
		}
	}
	return tables
}

// edgeBound is the best that can lie between the board's near side and blade 0.
func (s *search) edgeBound(a int64) score {
	best := score{Worth: s.rerip(fenceFace, a)}
	if s.in.straight {
		for k := range s.in.wants {
			if st, ok := s.strip(&s.in.wants[k], fenceFace, a); ok && st.score.Cmp(&best) > 0 {
				best = st.score
			}
		}
	}
	return best
}

// extendLeft puts one more blade beyond those of next.
func (s *search) extendLeft(t, next *table) bool {
	in := s.in
	n := len(t.score)
	// idle[i] bounds what is before if the next blade stands below i.
	idle := s.scores.take(n + 1)
	cut := s.longs.take(n)
	for i := range n {
		s.poll(i)
		if s.inWood(t.lo + int64(i)*in.step) {
			cut[i] = 1
		}
		sc := next.score[i]
		sc.Blades += cut[i]
		idle[i+1] = idle[i]
		if sc.Cmp(&idle[i]) > 0 {
			idle[i+1] = sc
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
		y := t.lo + int64(i)*in.step
		last := min(int(unit.FloorDiv(y-in.kerf-in.gap-t.lo, in.step)), n-1)
		if i > 0 && y <= in.fullHi && y-in.step-level.widest >= in.fullLo &&
			level.over(i-1-widest, last) && idle[last+1] == idle[last] {
			t.score[i] = t.score[i-1]
			continue
		}
		if !s.spend(int64(len(in.wants))/4 + 1) {
			return false
		}
		best := idle[max(last+1, 0)]
		if in.reripWidth > 0 { // any gap before may be fed again
			if r := max(min(y, in.fullHi)-in.fullLo, 0); r > 0 {
				best.Worth = best.Worth.Add(unit.WorthOf(in.reripV, r, in.length))
				best.Dev, best.Area, best.Blades = 0, unknownArea, 0
			}
		}
		if y <= in.outerHi {
			most := idle[max(last+1, 0)].Worth
			if lead.w != nil { // most often the best again, or nearly
				s.tableStripsLeft(&best, lead.w, y, next, cut, lead.at, min(last, lead.at+1))
			}
			for _, k := range in.byTop {
				w := &in.wants[k]
				if w.top.Add(most).Cmp(best.Worth) < 0 {
					break
				}
				if at := s.tableStripsLeft(&best, w, y, next, cut, 0, last); at >= 0 {
					lead.w, lead.at = w, at
				}
			}
		}
		t.score[i] = best
	}
	return true
}

// tableStripsLeft is tableStrips for the pocket before a blade at y, and gives the
// entry at which the best strip begins.
func (s *search) tableStripsLeft(best *score, w *want, y int64, next *table, inWood []int64, first, last int) (at int) {
	at = -1
	in := s.in
	step := next.step
	if in.straight { // all blades so far in that the fence has passed them
		if c := s.cutOf(w, 0, y, true); c.n > 0 && y >= w.lo && y <= w.hi {
			w.betters(best, y, c, &score{}, 0)
		}
	}
	lo := max(int(unit.CeilDiv(max(y-w.hi, in.outerLo)-in.kerf-next.lo, step)), first)
	hi := min(int(unit.FloorDiv(y-w.lo-in.kerf-next.lo, step)), last)
	beside, off := w.plain() && y <= in.fullHi, (next.lo-s.nearSide.base)/step
	s.tick(1)
	for i := lo; i <= hi; i++ {
		s.poll(i)
		face := next.lo + int64(i)*step + in.kerf
		if hi-i >= 4 && (i == lo || i%fineLen == 0) {
			if end := s.shortTo(best, w, y, next, i, hi, i == lo); end >= i {
				i = end
				continue
			}
		}
		c := cut{}
		if beside {
			c = s.nearSide.next(s, w, int64(i)+off, face, y)
		} else {
			c = s.cutOf(w, face, y, true)
		}
		if c.n > 0 && w.betters(best, y-face, c, &next.score[i], inWood[i]) {
			at = i
		}
	}
	return at
}

// shortTo is shortFrom for blocks that begin at entry i: it gives the last entry,
// or i - 1.
func (s *search) shortTo(best *score, w *want, y int64, next *table, i, hi int, begins bool) int {
	kerf := s.in.kerf
	wide := min(y-next.lo-int64(i)*next.step-kerf, w.hi)
	for size := blockLen; size >= fineLen; size /= blockLen / fineLen {
		if !begins && i%size != 0 {
			continue
		}
		s.poll(i / fineLen)
		end := min(i|(size-1), hi)
		c := s.counted(w, next.lo+int64(end)*next.step+kerf, y)
		if c.n == 0 || w.worth(wide, c).Add(next.block[i/blockLen].Worth).Cmp(best.Worth) < 0 {
			return end
		}
	}
	return i - 1
}
