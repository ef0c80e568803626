package rip

import (
	"github.com/ripwright/ripwright/solver/internal/search/budget"
	searchfences "github.com/ripwright/ripwright/solver/internal/search/fences"
	"github.com/ripwright/ripwright/solver/internal/search/model"
	"github.com/ripwright/ripwright/solver/internal/search/packing"
)

// byTables solves a problem by tables over heights (package fences of the internal
// search). It gives no result if that does not serve the problem or leaves it open: then
// the search by intervals has to solve it, on what is left of the budget, with the start
// heuristics in progress, if any.
func byTables(p *Problem, o Options, b *budget.Budget, ready *ready, w *watcher) (*Result, *starters) {
	if o.Method == ByIntervals || b.Ended() != budget.None || o.RunnersUp > 0 || !searchfences.Serves(&p.Board, &p.Saw) {
		return nil, nil
	}
	lengths, spotted := map[int]*packing.Lengths{}, false
	for k := range ready.wants {
		w := &ready.wants[k]
		if spotted = spotted || w.spotted(); w.crosscut != nil {
			lengths[w.item] = w.crosscut
		}
	}
	defects := int64(len(p.Board.Defects))
	lists := defects * (gapBytes + 4*int64(len(ready.wants))) // the model's
	if !b.Fits(lists) || !b.Hold(lists) {
		return nil, nil
	}
	defer b.Free(lists)
	in := ready.at(0)
	early := in.starters(0, b)
	if n, soon := searchfences.Before(&p.Board, &p.Saw, len(p.Items), in.caps, spotted, len(lengths) > 0); n > 0 && o.Method != ByTables {
		r, f := byIntervals(in, o, b, n, soon)
		if r != nil {
			w.part(Intervals, r.Best.Worth, r.Bound, true)
			return r, nil
		}
		most := worth{}
		for _, f := range f {
			most = maxWorth(most, f.score.Worth)
		}
		w.part(Intervals, most, worth{}, false)
		early.plans = append(early.plans, f...)
	}
	m := model.Packed(&p.Board, &p.Saw, p.Items, lengths)
	early.beside()
	early.set()
	t := searchfences.Told(m, b, early.told)
	known := worth{}
	if t.Plan != nil {
		known = t.Plan.Score.Worth
	}
	w.part(Tables, known, t.Bound, true)
	if !t.Proven && t.Open != searchfences.Stopped {
		early.bound = t.Bound
		return nil, early
	}
	defer early.end()
	best := in.idle(0)
	var plan *Plan
	if t.Plan != nil {
		best = in.foundAs(m, t.Plan)
		sc, ok := in.rate(best.fence, &best.path)
		if plan = in.build(best); !ok || plan.score() != t.Plan.Score {
			return nil, nil
		}
		best.score = sc
	}
	if !t.Proven {
		early.late(best.score.Worth, t.Bound)
		if f := early.best(); f != nil && (t.Plan == nil || f.cmp(best) < 0) {
			best, plan = f, nil
		}
	}
	if plan == nil {
		plan = in.build(best)
	}
	r := &Result{Best: plan, Bound: t.Bound, Proven: t.Proven, EndedBy: b.Ended(), Work: b.Work()}
	_, r.Memory = b.Held()
	if r.Best.Worth.Cmp(o.Floor) < 0 {
		r.Proven = false
	}
	r.Bound = maxWorth(r.Bound, r.Best.Worth)
	return r, nil
}

// gapBytes is the memory of a defect in a model, without the lists of wants that refuse
// it.
const gapBytes = 200

// byIntervals is the search by intervals if it ends within a number of steps, and has
// bounded its first interval within soon steps, if that is not 0; otherwise it gives the
// plans found.
func byIntervals(in *instance, o Options, b *budget.Budget, steps, soon int64) (*Result, []*found) {
	l := budget.Limits{Work: steps, Stop: o.Stop}
	if o.Work > 0 {
		l.Work = min(steps, o.Work-b.Work())
	}
	if l.Memory = b.Left(); l.Work <= 0 || l.Memory <= 0 {
		return nil, nil
	}
	part := budget.New(l)
	s := newSearch(in, 0, part)
	if o.Floor.Cmp(worth{}) > 0 {
		s.pool.raise(o.Floor)
	}
	bound := worth{}
	if crude := s.bound; soon > 0 {
		part.At(soon, func() {
			if s.bound == crude {
				part.End(budget.Work)
			}
		})
	}
	guarded(func() {
		s.prepare()
		bound = s.find()
	})
	plans := s.pool.real()
	s.release()
	b.Count(part.Work())
	_, most := part.Held()
	if b.Hold(most) {
		b.Free(most)
	}
	if part.Ended() != budget.None || len(plans) == 0 {
		return nil, plans
	}
	r := &Result{Best: in.build(plans[0]), Proven: true, Work: b.Work()}
	r.Bound = maxWorth(bound, r.Best.Worth)
	_, r.Memory = b.Held()
	return r, nil
}

// foundAs converts a plan of the search by tables.
func (in *instance) foundAs(m *model.Model, q *model.Plan) *found {
	f := &found{in: in, fence: q.Fence, path: path{blades: q.Blades, wants: make([]int16, len(q.Wants))}}
	for k, w := range q.Wants {
		f.path.wants[k] = noWant
		for i := range in.wants {
			if w != model.None && in.wants[i].item == m.Wants[w].Item {
				f.path.wants[k] = int16(i)
			}
		}
	}
	return f
}
