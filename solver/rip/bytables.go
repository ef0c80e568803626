package rip

import (
	"github.com/ripwright/ripwright/solver/internal/search/budget"
	searchfences "github.com/ripwright/ripwright/solver/internal/search/fences"
	"github.com/ripwright/ripwright/solver/internal/search/model"
)

// byTables solves a problem by tables over heights (package fences of the internal
// search). It gives nil where that does not serve the problem or leaves it open: the
// search by intervals, on what is left of the budget, has to do it then.
func byTables(p *Problem, o Options, b *budget.Budget, ready *ready) *Result {
	if b.Ended() != budget.None || o.RunnersUp > 0 || !searchfences.Pays(&p.Saw) || !searchfences.Serves(&p.Board, &p.Saw, p.Items) {
		return nil
	}
	m := model.New(&p.Board, &p.Saw, p.Items)
	t := searchfences.Solve(m, b)
	if !t.Proven && t.Open != searchfences.Stopped {
		return nil
	}
	in := ready.at(0)
	if !t.Proven && (t.Plan == nil || t.Plan.Score.Worth.IsZero()) {
		s := newSearch(in, 0, b)
		s.start()
		known := s.pool
		s.release()
		if !known.nothing() {
			f := known.plans[0]
			r := &Result{Bound: maxWorth(t.Bound, f.score.worth), EndedBy: b.Ended(), Work: b.Work(), Best: in.build(f)}
			_, r.Memory = b.Held()
			return r
		}
	}
	r := &Result{Bound: t.Bound, Proven: t.Proven, EndedBy: b.Ended(), Work: b.Work()}
	_, r.Memory = b.Held()
	if t.Plan != nil {
		r.Best = in.build(in.foundAs(m, t.Plan))
		if !r.Best.scored(&t.Plan.Score) {
			return nil
		}
	} else {
		r.Best = in.build(in.idle(0))
	}
	if r.Best.Worth.Cmp(o.Floor) < 0 {
		r.Proven = false
	}
	r.Bound = maxWorth(r.Bound, r.Best.Worth)
	return r
}

// foundAs takes over a plan of the search by tables.
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

// scored reports whether a plan, worked out from its positions, has a score.
func (p *Plan) scored(sc *model.Score) bool {
	return *sc == model.Score{Worth: p.Worth, Dev: int64(p.Deviation), Area: int64(p.StripArea), Blades: int64(p.BladesInWood), Travel: int64(p.Travel)}
}
