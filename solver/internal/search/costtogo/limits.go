package costtogo

import "github.com/ripwright/ripwright/solver/unit"

// limits are where moving blades can stand in the board's frame at some fence of an
// interval. Tables within limits bound what any of these fences allows; over one fence
// they are exact.
type limits struct {
	stand [][2]int // by blades to come: first and last entry of the blade before them
	parks []bool   // by number of blades: whether that many, the outermost, can stand beyond the wood
	waits []bool   // whether that many, the innermost, can stand before it
}

// Within sets the fences for which the next tables hold, and whether they take travels
// into account: if not, the tables of a wider interval are the same.
func (s *Side) Within(lo, hi int64, travels bool) {
	m := s.P.M
	root := -(s.Moving + 1) * s.P.Spread
	s.top = [2]int{root, root}
	if s.Root >= 0 && s.Root < len(m.Blades) {
		at := m.Blades[s.Root].Lo
		a, b := s.Entry(at-lo), s.Entry(at-hi)
		s.top = [2]int{min(a, b), max(a, b)}
	}
	s.limits = nil
	if !travels {
		return
	}
	l := &limits{stand: make([][2]int, s.Moving), parks: make([]bool, s.Moving+1), waits: make([]bool, s.Moving+1)}
	l.parks[0], l.waits[0] = true, true
	first, last := s.P.Y(0), s.P.Y(s.P.N-1)
	for j := range s.Moving {
		k := s.Moving - 1 - j
		i := s.Root + 1 + j
		if s.Left {
			i = s.Root - 1 - j
		}
		w := &m.Blades[i]
		off := s.offset(k) // of the last, if that is fixed
		from := int(unit.CeilDiv(w.Lo-off-hi-s.P.Base, m.Step))
		to := int(unit.FloorDiv(w.Hi-off-lo-s.P.Base, m.Step))
		before, beyond := w.Lo <= first+hi, w.Hi >= last+lo
		if s.Left {
			from, to = s.P.N-1-to, s.P.N-1-from
			before, beyond = beyond, before
		}
		l.stand[k] = [2]int{from, to}
		l.parks[k+1], l.waits[j+1] = beyond, before
	}
	s.limits = l
}

// Wide makes the next tables hold wherever the fixed blade stands.
func (s *Side) Wide() { s.top = [2]int{-(s.Moving + 1) * s.P.Spread, s.P.N - 1} }

// Windows appends to dst what the tables depend on besides the board: where blades can
// stand within the wood, and whether they can stand beside it.
func (s *Side) Windows(dst []int) []int {
	truth := func(b bool) int {
		if b {
			return 1
		}
		return 0
	}
	before := -s.Apart(s.Moving)
	dst = append(dst, max(s.top[0], before), max(s.top[1], before))
	for k := range s.Moving + 1 {
		lo, hi := s.window(k)
		dst = append(dst, lo, hi, truth(s.Parks(k)), truth(s.Waits(k)))
	}
	return dst
}

// Limited reports whether the tables take travels into account.
func (s *Side) Limited() bool { return s.limits != nil }

// Parks reports whether the last k blades can stand beyond the wood.
func (s *Side) Parks(k int) bool { return s.limits == nil || k > s.Moving || s.limits.parks[k] }

// Waits reports whether the first q moving blades can stand before the wood.
func (s *Side) Waits(q int) bool { return s.limits == nil || s.limits.waits[q] }

// parked is the worth of k blades beyond the wood.
func (s *Side) parked(k int) int64 {
	if s.Parks(k) {
		return 0
	}
	return never
}

// window is the entries at which level k is needed: from lo up to but without hi.
func (s *Side) window(k int) (lo, hi int) {
	lo, hi = s.top[0], s.P.N
	for j := s.Moving; j > k; j-- {
		lo += s.pairs[j].apart
	}
	lo = max(lo, 0)
	if k == s.Moving {
		hi = min(s.top[1]+1, hi)
	} else if s.limits != nil {
		lo, hi = max(lo, s.limits.stand[k][0]), min(hi, s.limits.stand[k][1]+1)
	}
	lo = min(lo, s.P.N)
	return lo, max(hi, lo)
}
