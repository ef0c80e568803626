package values

import (
	"math"
	"slices"
)

// terms are the intervals into which dues divide an order: term t ends after ends[t]
// boards from now, and a term without an end follows the last.
type terms struct {
	ends  []float64
	after []int64 // the due at which each term begins, as the rows count it; 0: the first
	last  []int   // for each row, the term by whose end it must be filled
}

// count gives the number of terms, including the one without an end.
func (t *terms) count() int { return len(t.ends) + 1 }

// in reports whether a row may be made in a term.
func (t *terms) in(term, row int) bool { return t.last[row] >= term }

// home is the term in which a policy is used: the one that it was priced for, or the last
// one in which its only row counts.
func (t *terms) home(p *policy) int {
	if p.alone >= 0 {
		return t.last[p.alone]
	}
	for i, a := range t.after {
		if a >= p.after {
			return i
		}
	}
	return len(t.after) - 1
}

// until gives the terms up to one, which then has no end: for the rows due by then.
func (t *terms) until(term int) terms {
	return terms{ends: t.ends[:term], after: t.after[:term+1], last: t.last}
}

// late names the rows due by the end of a term, which takes so many boards at least.
func (t *terms) late(term int, rows []int, least int64) (all []Late) {
	for _, k := range rows {
		if t.last[k] == term {
			all = append(all, Late{Row: k, Least: least})
		}
	}
	return all
}

// undue is the only term where dues are left out.
func (s *search) undue() terms {
	return terms{after: []int64{0}, last: make([]int, len(s.open))}
}

// newTerms makes the terms of the rows in a search.
func newTerms(s *search) terms {
	var dues []int64
	for _, k := range s.rows {
		if d := s.pl.Demand.Rows[k].Due; d > 0 {
			dues = append(dues, d)
		}
	}
	slices.Sort(dues)
	dues = slices.Compact(dues)
	t := terms{after: append([]int64{0}, dues...), last: make([]int, len(s.open))}
	for _, d := range dues {
		t.ends = append(t.ends, float64(max(d-s.o.Done, 0)))
	}
	for k := range t.last {
		t.last[k] = len(dues)
		if i, due := slices.BinarySearch(dues, s.pl.Demand.Rows[k].Due); due {
			t.last[k] = i
		}
	}
	return t
}

// dueGap is the relative precision of the fewest boards in which what is due can be made.
const dueGap = 1e-4

// dues makes the terms, and moves the end of each out to where what is due by it can be
// filled: for each in turn the fewest boards, by a programme of its own unless a draft keeps
// it. It reports false if it was stopped.
func (pl *Planner) dues(s *search) (terms, bool, error) {
	t := newTerms(s)
	for i := range t.ends {
		if i > 0 {
			t.ends[i] = max(t.ends[i], t.ends[i-1])
		}
		if slices.ContainsFunc(s.drafts, func(d *draft) bool { return d.full && d.keeps(t.ends[:i+1]) }) {
			continue
		}
		o := *s.o
		o.Gap = dueGap
		early := &search{pl: pl, o: &o, open: s.open, plan: &Plan{Values: make([]float64, len(s.open)), Boards: make([]float64, len(s.plan.Boards))},
			terms: t.until(i), boards: true, enough: t.ends[i]}
		for _, k := range s.rows {
			if t.last[k] <= i {
				early.rows = append(early.rows, k)
			}
		}
		if err := early.run(); err != nil {
			return t, false, err
		}
		s.plan.Rounds += early.plan.Rounds
		if early.plan.Stopped && s.o.stopped() {
			return t, false, nil
		}
		s.soonest = early.plan.uses
		due := float64(max(t.after[i+1]-s.o.Done, 0))
		least := math.Ceil(early.cost * (1 - dueGap))
		if early.cost <= due || least <= due {
			// An excess this small over the due makes no difference in whole boards.
			t.ends[i] = max(t.ends[i], early.cost)
			continue
		}
		t.ends[i] = max(least, early.cost)
		s.plan.Late = append(s.plan.Late, t.late(i, s.rows, s.o.Done+int64(least))...)
	}
	return t, true, nil
}
