package values

import "math"

// later reports whether a row may be filled after the draft's term.
func (d *draft) later(k int) bool { return len(d.s.last) > 0 && d.s.last[k] > d.term }

// byDues makes a draft of the policies known, due after due, and gives the boards by the
// end of each term but the last. Boards for one due also make what is due later. It
// reports false if limited lots have too few boards.
func (s *search) byDues() (d *draft, ends []float64, full bool) {
	d = s.blank()
	for d.term = range s.count() {
		if !d.complete() {
			return nil, nil, false
		}
		if d.term < len(s.ends) {
			boards := 0.0
			for _, n := range d.boards {
				boards += n
			}
			ends = append(ends, boards)
		}
	}
	return d, ends, true
}

// inTime gives a draft that keeps the ends of all terms; nil if that by the policies known
// does not.
func (s *search) inTime() *draft {
	d, ends, full := s.byDues()
	if !full {
		return nil
	}
	for t, boards := range ends {
		if !fit(boards, s.ends[t]) {
			return nil
		}
	}
	return d
}

// stoppedEarly takes a draft where planning was stopped before it was known which dues can
// be kept: those that the draft does not keep are late.
func (s *search) stoppedEarly() {
	d, ends, full := s.byDues()
	if !full {
		return
	}
	s.plan.Late = nil
	for t, boards := range ends {
		if least := s.o.Done + int64(math.Ceil(boards*(1-dueGap))); least > s.after[t+1] {
			s.plan.Late = append(s.plan.Late, s.late(t, s.rows, least)...)
		}
	}
	s.adopt(d)
}

// drawn gives a draft that fills the order in time; nil if there is none.
func (s *search) drawn() *draft {
	switch {
	case len(s.ends) > 0:
		return s.inTime()
	case s.draft != nil && s.draft.complete():
		return s.draft
	}
	return nil
}

func (s *search) adopt(d *draft) {
	s.plan.uses, s.plan.Boards, s.cost = d.uses, d.boards, d.cost
	s.plan.Short, s.plan.Proven = false, s.proven()
}
