// Package paced finds the way to rip a board that is worth most after the price of the
// saw's time: the greatest worth less the price of the board's cycle.
//
// Of a plan only the longest move of fence and blades affects its cycle. The plans that
// move nothing further than a limit are those of a saw with narrower travels, so one
// search of package rip finds the best of them and bounds the rest. Plans are divided by
// their longest move, and the parts searched best bound first, until no part can hold a
// better plan than those known: a branch and bound over one number, with the proof of rip
// for every part.
package paced

import (
	"container/heap"

	"github.com/ripwright/ripwright/solver/internal/published"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/run"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
)

// Terms say how long a board takes and what the time costs.
type Terms struct {
	Pace run.Pace
	// Price is that of the saw's time, in billionths of money a second.
	Price int64
}

// MaxPricePerHour limits the price, in money.
const MaxPricePerHour = published.MostSolveOptionsPricePerSawHour

// Of is the price of a cycle.
func (t *Terms) Of(c run.Cycle) unit.Worth { return unit.WorthOf(t.Price, int64(c.Total), 1000) }

// Cost is the price of a board's cycle with the given longest move.
func (t *Terms) Cost(length, move unit.Length) unit.Worth {
	c, _ := t.Pace.Cycle(length, move)
	return t.Of(c)
}

// Net is the worth of a plan less the price of its cycle.
func (t *Terms) Net(p *rip.Problem, plan *rip.Plan) unit.Worth {
	if t.Price == 0 {
		return plan.Worth
	}
	return plan.Worth.Sub(t.Cost(p.Board.Length, longest(&p.Saw, plan)))
}

// Solve gives the valid plan with the greatest net worth, the first of equal ones in
// rip's order of plans, and the proof; runners-up likewise. Bound and the order of the
// plans refer to the net worth; the plans' own Worth is before the price. The error is a
// fault.List.
func Solve(p *rip.Problem, t Terms, o rip.Options) (*rip.Result, error) {
	first, err := rip.Solve(p, o)
	if err != nil || t.Price == 0 {
		return first, err
	}
	s := &search{p: p, terms: t, options: o, budget: o.Budget(), pool: pool{size: o.RunnersUp + 1}}
	s.take(first)
	hi := s.down(2 * saw.MaxPosition)
	s.add(part{lo: s.least(), hi: hi, worth: first.Bound, searched: first.Proven})
	for !s.ended() && len(s.parts) > 0 {
		if err := s.look(heap.Pop(&s.parts).(part)); err != nil {
			return nil, err
		}
	}
	return s.result(), nil
}

// SolveFrom is Solve with a known valid plan: plans that are worth less are passed over,
// and a search that a limit ends gives no plan that comes after the known one. It gives
// no runners-up.
func SolveFrom(p *rip.Problem, t Terms, o rip.Options, known *rip.Plan) (*rip.Result, error) {
	o.RunnersUp = 0
	if t.Price == 0 { // otherwise a plan that is worth less may have a greater net worth
		o.Floor = known.Worth
	}
	r, err := Solve(p, t, o)
	if err != nil || r.Proven {
		return r, err
	}
	of := func(plan *rip.Plan) *entry { return &entry{plan: plan, net: t.Net(p, plan)} }
	if a := of(known); a.before(of(r.Best)) < 0 {
		r.Best = known
		if a.net.Cmp(r.Bound) > 0 {
			r.Bound = a.net
		}
	}
	return r, nil
}
