package rip

import "github.com/ripwright/ripwright/solver/unit"

// table bounds what lies beyond a moving blade when only moving blades follow:
// at(y) is at least the worth of all pockets beyond a blade whose kerf starts at
// y of the board, however the blades that follow are set. Travels, caps and the
// fence are left out, so one table serves every fence position.
type table struct {
	lo, step int64
	worth    []worth
	block    []worth // greatest of each blockLen entries
	below    worth   // for blades this side of the wood
}

const blockLen = 32

// over gives the bound for a blade standing anywhere in [y0, y1].
func (t *table) over(y0, y1 int64) worth {
	var best worth
	i, j := unit.FloorDiv(y0-t.lo, t.step), unit.FloorDiv(y1-t.lo, t.step)
	if i < 0 {
		best, i = t.below, 0
	}
	j = min(j, int64(len(t.worth))-1)
	for i <= j {
		if i%blockLen == 0 && i+blockLen-1 <= j {
			best = maxWorth(best, t.block[i/blockLen])
			i += blockLen
			continue
		}
		best = maxWorth(best, t.worth[i])
		i++
	}
	return best
}

// tables builds the bounds for 0 to m further moving blades. It gives nil when
// the search was stopped.
func (s *search) tables(m int) []table {
	in := s.in
	lo := in.stopDown(in.outerLo-in.kerf-in.gap) - in.step
	n := 0
	if in.outerHi > lo {
		n = int((in.outerHi-lo)/in.step) + 2
	}
	s.f = fences{0, 0} // positions on the arbor are those of the board
	tables := make([]table, m+1)
	for k := range tables {
		t := &tables[k]
		*t = table{lo: lo, step: in.step, worth: make([]worth, n)}
		if k == 0 {
			for i := range t.worth {
				t.worth[i] = s.rerip(lo+int64(i)*in.step+in.kerf, farOut)
			}
		} else if !s.extend(t, &tables[k-1]) {
			return nil
		}
		t.close()
		if k > 0 {
			t.below = maxWorth(t.below, tables[k-1].below)
		}
	}
	return tables
}

// farOut stands for the end of the arbor.
const farOut = int64(1) << 50

func (t *table) close() {
	t.block = make([]worth, (len(t.worth)+blockLen-1)/blockLen)
	for i, w := range t.worth {
		b := &t.block[i/blockLen]
		*b = maxWorth(*b, w)
		t.below = maxWorth(t.below, w)
	}
}

// extend puts one more blade before those of next.
func (s *search) extend(t, next *table) bool {
	in := s.in
	// idle[i] bounds what follows when the next blade stands at i or beyond;
	// the second one counts the gap up to it as fed again.
	n := len(t.worth)
	idle := make([]worth, n+1)
	var again []worth
	if in.reripWidth > 0 {
		again = make([]worth, n+1)
	}
	for i := n - 1; i >= 0; i-- {
		idle[i] = maxWorth(next.worth[i], idle[i+1])
		if again != nil {
			y := t.lo + int64(i)*in.step
			reach := max(min(y, in.fullHi)-in.fullLo, 0)
			again[i] = maxWorth(next.worth[i].Add(unit.WorthOf(in.reripV, reach, in.length)), again[i+1])
		}
	}
	if again != nil {
		reach := unit.WorthOf(in.reripV, max(in.fullHi-in.fullLo, 0), in.length)
		for i := range again {
			again[i] = maxWorth(again[i], reach)
		}
	}
	for i := range t.worth {
		if !s.spend(int64(len(in.wants))/4 + 1) {
			return false
		}
		y := t.lo + int64(i)*in.step
		face := y + in.kerf
		first := min(int(unit.CeilDiv(face+in.gap-t.lo, in.step)), n)
		best := idle[first]
		if again != nil {
			start := max(face-in.fullLo, 0)
			less := unit.WorthOf(in.reripV, start, in.length)
			best = maxWorth(best, again[first].Sub(less))
		}
		if in.straight {
			face = max(face, 0)
		}
		if face >= in.outerLo {
			for k := range in.wants {
				if w := &in.wants[k]; w.it.Random {
					best = maxWorth(best, s.rangeBound(w, face, next, first))
				} else {
					best = maxWorth(best, s.widthBound(w, face, next, first))
				}
			}
		}
		t.worth[i] = best
	}
	return true
}

func (s *search) widthBound(w *want, face int64, next *table, first int) worth {
	var best worth
	i := max(int(unit.CeilDiv(face+w.lo-next.lo, next.step)), first)
	for ; i < len(next.worth); i++ {
		q := next.lo + int64(i)*next.step
		if q > face+w.hi || q > s.in.outerHi {
			break
		}
		if n, _ := s.counted(w, face, q); n > 0 {
			best = maxWorth(best, w.worth(q-face, n).Add(next.worth[i]))
		}
	}
	return best
}

// rangeBound takes the widths of a random range in blocks: each block has the
// greatest width and the greatest rest in it, and the longest run.
func (s *search) rangeBound(w *want, face int64, next *table, first int) worth {
	var best worth
	i := max(int(unit.CeilDiv(face+w.lo-next.lo, next.step)), first)
	last := min(int(unit.FloorDiv(min(face+w.hi, s.in.outerHi)-next.lo, next.step)), len(next.worth)-1)
	for i <= last {
		end := min(i|(blockLen-1), last)
		n, _ := s.counted(w, face, next.lo+int64(i)*next.step)
		if n == 0 {
			break
		}
		widest := next.lo + int64(end)*next.step - face
		best = maxWorth(best, w.worth(widest, n).Add(next.block[i/blockLen]))
		i = end + 1
	}
	return best
}
