package run

import "github.com/ripwright/ripwright/solver/fault"

// Once settles one board outside any run by its strips, also for the outcomes as planned
// and runner-up. The Run has the state of the items afterwards.
func Once(h Held, items []Wanted, c Confirmation) (*Settled, *Run, fault.List) {
	r := &Run{}
	for i := range items {
		items[i].MadeSaid = true
	}
	if l := r.SetOrder(h.Order, items); len(l) > 0 {
		return nil, nil, l
	}
	h.Ways = []Way{{}}
	s := &Settled{Held: h, Outcome: c.Outcome}
	if c.Outcome.Cut() {
		var l fault.List
		if s.Way, s.Doubts, l = r.measured(&h, &c); len(l) > 0 {
			return nil, nil, l
		}
		r.commit(&h, s.Way.Strips)
	}
	return s, r, nil
}

// Learn records which strips the items take, for entries of a run that an earlier release
// wrote without it.
func (r *Run) Learn(items []Wanted) {
	for i := range items {
		if e := r.find(items[i].Key); e != nil && e.Takes.Max == 0 {
			e.Takes = items[i].Takes
		}
	}
}

// Knows reports whether the run keeps the books of all these items.
func (r *Run) Knows(items []Wanted) bool {
	for i := range items {
		if e := r.find(items[i].Key); e == nil || e.Count != items[i].Count {
			return false
		}
	}
	return true
}
