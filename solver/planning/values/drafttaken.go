package values

import (
	"cmp"
	"math"
	"slices"
)

// byDues makes a draft of boards for the first terms and of the policies known, due after
// due. Boards for one due also make what is due later.
func (s *search) byDues(first []use) *draft {
	d := s.blank(s.terms)
	for d.term = range d.terms.count() {
		for _, u := range first {
			if d.terms.home(u.policy) == d.term {
				d.take(u.policy, u.boards)
			}
		}
		d.complete()
	}
	return d
}

// sorted is a draft made without dues, its boards in such a sequence that what is due
// first is made first.
func (d *draft) sorted(t terms) *draft {
	out := d.s.blank(t)
	left := slices.Clone(d.uses)
	take := func(i int, boards float64) {
		left[i].boards -= boards
		out.take(left[i].policy, boards)
	}
	for out.term = range out.terms.count() - 1 {
		for k := range out.left {
			if out.left[k] <= 0 || out.later(k) {
				continue
			}
			makes := func(i int) float64 { return d.s.makes(left[i].policy, k) }
			by := make([]int, len(left))
			for i := range by {
				by[i] = i
			}
			slices.SortStableFunc(by, func(a, b int) int { return cmp.Compare(makes(b), makes(a)) })
			for _, i := range by {
				if out.left[k] > 0 && left[i].boards > 0 && makes(i) > 0 {
					take(i, min(left[i].boards, out.left[k]/makes(i)))
				}
			}
		}
		out.end()
	}
	out.term = out.terms.count() - 1
	for i := range left {
		if left[i].boards > 0 {
			take(i, left[i].boards)
		}
	}
	out.end()
	return out
}

// fulls gives the drafts that there are boards for, with dues also those of the policies
// known.
func (s *search) fulls() []*draft {
	all := slices.Clone(s.drafts)
	if len(s.ends) > 0 {
		all = append(all, s.byDues(nil))
	}
	if len(s.soonest) > 0 {
		all = append(all, s.byDues(s.soonest))
	}
	return slices.DeleteFunc(all, func(d *draft) bool { return !d.full })
}

// stoppedEarly takes a draft where planning was stopped before it was known which dues can
// be kept: those that the draft does not keep are late. A board by which a due is late
// counts as one more.
func (s *search) stoppedEarly() {
	counted := func(d *draft) float64 {
		late := 0.0
		for t, n := range d.ends {
			late += max(n-float64(d.terms.after[t+1]-s.o.Done), 0)
		}
		return d.cost * (1 + late/d.total())
	}
	d := least(s.fulls(), counted)
	if d == nil {
		return
	}
	s.plan.Late = nil
	for t, boards := range d.ends {
		if least := s.o.Done + int64(math.Ceil(boards*(1-dueGap))); least > d.terms.after[t+1] {
			s.plan.Late = append(s.plan.Late, d.terms.late(t, s.rows, least)...)
		}
	}
	s.adopt(d)
}

// drawn gives the cheapest draft that fills the order in time; nil if there is none.
func (s *search) drawn() *draft {
	inTime := slices.DeleteFunc(s.fulls(), func(d *draft) bool { return !d.keeps(s.ends) })
	return least(inTime, func(d *draft) float64 { return d.cost })
}

// keeps reports whether each of the first terms takes no more boards than it has.
func (d *draft) keeps(ends []float64) bool {
	for t, most := range ends {
		if !fit(d.ends[t], most) {
			return false
		}
	}
	return true
}

// least gives the draft of the least measure, the first of equals; nil if there are none.
func least(all []*draft, measure func(*draft) float64) *draft {
	if len(all) == 0 {
		return nil
	}
	return slices.MinFunc(all, func(a, b *draft) int { return cmp.Compare(measure(a), measure(b)) })
}

func (s *search) adopt(d *draft) {
	s.plan.uses, s.plan.Boards, s.cost = d.uses, d.boards, d.cost
	s.plan.Short, s.plan.Proven = false, s.proven()
}
