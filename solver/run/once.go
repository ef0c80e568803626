package run

import "github.com/ripwright/ripwright/solver/fault"

// Once settles one board outside any run: what strips add to an order.
// Made amounts of the items come back updated.
func Once(h Held, items []Wanted, c Confirmation) (*Settled, *Run, fault.List) {
	r := &Run{InFlight: 1}
	for i := range items {
		items[i].MadeSaid = true
	}
	if l := r.SetOrder(h.Order, items); len(l) > 0 {
		return nil, nil, l
	}
	h.Ways = []Way{{}}
	r.Sequence = 1
	r.Reserve(h)
	s, l := r.Confirm(c)
	return s, r, l
}
