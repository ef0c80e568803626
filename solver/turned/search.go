package turned

import (
	"cmp"
	"fmt"
	"slices"

	"github.com/ripwright/ripwright/solver/paced"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// entry is a plan that was found.
type entry struct {
	plan *rip.Plan
	net  unit.Worth
	kind string // the multiset of its items
}

// before is below 0 if a is the better plan.
func (a *entry) before(b *entry) int {
	return cmp.Or(b.net.Cmp(a.net), cmp.Compare(a.plan.Turn, b.plan.Turn), a.plan.Compare(b.plan))
}

// search searches the turns of one problem.
type search struct {
	p     *rip.Problem
	terms paced.Terms
	size  int      // plans that are kept
	all   []*entry // the best plans known, one of each kind, best first
	bound unit.Worth

	result rip.Result
}

func solve(p *rip.Problem, t paced.Terms, o rip.Options, known *rip.Plan) (*rip.Result, error) {
	s := &search{p: p, terms: t, size: o.RunnersUp + 1, result: rip.Result{Proven: true}}
	if known != nil {
		s.offer(known)
	}
	for i, turn := range turns(p) {
		if s.result.EndedBy == rip.TimeLimit {
			s.bounded(rip.Bound(p).Sub(Cost(&p.Saw, turn)))
			continue // preparing a board takes time too
		}
		if err := s.turn(turn, o, i == 0); err != nil {
			return nil, err
		}
	}
	r := &s.result
	r.Best, r.Bound = s.all[0].plan, s.all[0].net
	if s.bound.Cmp(r.Bound) > 0 {
		r.Bound = s.bound
	}
	for _, e := range s.all[1:] {
		r.RunnersUp = append(r.RunnersUp, e.plan)
	}
	return r, nil
}

// turn searches the board in one turn.
func (s *search) turn(turn wood.Turn, o rip.Options, first bool) error {
	if o.Work > 0 {
		// If all is used up, one step is left, since 0 would be no limit: enough for a
		// bound.
		o.Work = max(o.Work-s.result.Work, 1)
	}
	cost := Cost(&s.p.Saw, turn)
	o.Floor = s.floor(turn, cost)
	r, err := paced.Solve(At(s.p, turn), s.terms, o)
	if err != nil {
		return err
	}
	for _, plan := range append([]*rip.Plan{r.Best}, r.RunnersUp...) {
		plan.Turn = turn
		s.offer(plan)
	}
	if bound := r.Bound.Sub(cost); first {
		s.bound = bound
	} else {
		s.bounded(bound)
	}
	to := &s.result
	// Without a limit, an unproven result means that nothing is worth the floor.
	to.Proven = to.Proven && r.EndedBy == rip.NoLimit
	to.EndedBy = cmp.Or(to.EndedBy, r.EndedBy)
	to.Work += r.Work
	to.Memory = max(to.Memory, r.Memory)
	return nil
}

// bounded raises the bound of the result to that of a turn.
func (s *search) bounded(bound unit.Worth) {
	if bound.Cmp(s.bound) > 0 {
		s.bound = bound
	}
}

// floor is the least worth by which a plan of a turn can rank among the known ones; 0 if
// any can. If time has a price, a plan's own worth does not decide.
func (s *search) floor(turn wood.Turn, cost unit.Worth) (floor unit.Worth) {
	if len(s.all) < s.size || s.terms.Price != 0 {
		return floor
	}
	last := s.all[len(s.all)-1]
	floor = last.net.Add(cost)
	if turn > last.plan.Turn {
		floor = floor.Add(unit.Worth{Lo: 1}) // of plans with equal net worth the other comes first
	}
	return floor
}

// offer adds a plan to the known ones if it is one of the best of their kinds.
func (s *search) offer(plan *rip.Plan) {
	e := &entry{plan: plan, net: Net(s.p, s.terms, plan), kind: kindOf(plan)}
	if i := slices.IndexFunc(s.all, func(o *entry) bool { return o.kind == e.kind }); i >= 0 {
		if e.before(s.all[i]) >= 0 {
			return
		}
		s.all = slices.Delete(s.all, i, i+1)
	}
	i, _ := slices.BinarySearchFunc(s.all, e, (*entry).before)
	s.all = slices.Insert(s.all, i, e)
	s.all = s.all[:min(len(s.all), s.size)]
}

func kindOf(plan *rip.Plan) string {
	var items []int
	for i := range plan.Pockets {
		if k := plan.Pockets[i].Item; k != rip.None {
			items = append(items, k)
		}
	}
	slices.Sort(items)
	return fmt.Sprint(items)
}
