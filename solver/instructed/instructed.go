// Package instructed finds the best way to rip a board by an operator's instructions:
// strips that must be cut, items that must not be, and axes that must not move. It says
// what the instructions cost against the best plan without them.
//
// It has no search of its own. A locked axis is a saw whose travel has one stop, and a
// forbidden item is one that is full. A forced item is copied, with a bonus above the
// worth of any plan, and the copy has as many open strips as are forced: the best plan
// has as many of these as possible, and among plans with equally many the bonus decides
// nothing. Further strips are of the item itself. So what packages rip and paced prove
// holds for these plans too.
//
// Forced strips are cut even if the order no longer wants them. Towards what is open they
// count as if each were clear over the whole length of the board and as wide as the item
// may be; what that leaves open limits further strips. If the best plan of all keeps the
// instructions anyway, it is the plan, whatever that rule says.
package instructed

import (
	"slices"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/paced"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/turned"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// Forced is an item of which at least a number of strips must be cut.
type Forced struct{ Item, Strips int }

// FenceAxis stands for the fence in place of a blade.
const FenceAxis = -1

// Lock keeps an axis from moving: the fence or a blade. It stands at At, or, if that is
// not given, at the stop nearest to where it stands now.
type Lock struct {
	Axis  int // FenceAxis or the index of a blade
	Given bool
	At    unit.Length
}

// Instructions are an operator's for one board. Each item and axis is named at most once,
// and no item is both forced and forbidden.
type Instructions struct {
	Forced    []Forced
	Forbidden []int
	Locks     []Lock
}

// Count is the number of instructions.
func (n *Instructions) Count() int { return len(n.Forced) + len(n.Forbidden) + len(n.Locks) }

// Only gives the instruction of an index: forced items come first, then forbidden ones,
// then locks.
func (n *Instructions) Only(i int) Instructions {
	if i < len(n.Forced) {
		return Instructions{Forced: n.Forced[i : i+1]}
	}
	if i -= len(n.Forced); i < len(n.Forbidden) {
		return Instructions{Forbidden: n.Forbidden[i : i+1]}
	}
	i -= len(n.Forbidden)
	return Instructions{Locks: n.Locks[i : i+1]}
}

// Options of a search by instructions.
type Options struct {
	rip.Options
	// Half is polled by the search for the best plan of all, which must not take all the
	// time: the search ends once this reports true. Nil: as Stop says.
	Half func() bool
	// Turns allows turned boards, as the saw can turn them.
	Turns bool
}

// Plan is what a search by instructions found.
type Plan struct {
	*rip.Result
	// Made is how many strips of each forced item the best plan has; Kept says that these
	// are as many as were asked for. If Proven and not Kept, no plan has them all.
	Made []int
	Kept bool
}

// Outcome is the result of a search by instructions.
type Outcome struct {
	Plan
	// Free is the best plan without instructions.
	Free *rip.Result
	// Each is the best plan by each instruction alone, indexed as by Only. Its Result is
	// nil if the limits left nothing for that search.
	Each []Plan
}

// Solve gives the best plan by instructions, which must be free of faults, and their
// cost. The limits hold for all its searches together: the one for the best plan of all
// gets at most half of them, those for each instruction what is left. The error is a
// fault.List.
func Solve(p *rip.Problem, t paced.Terms, n *Instructions, o Options) (*Outcome, error) {
	s := solver{p: p, terms: t, o: o.Options, left: o.Work, turns: o.Turns}
	first := o.Options
	first.Work = (o.Work + 1) / 2
	if o.Half != nil {
		first.Stop = o.Half
	}
	free, err := s.solve(p, first)
	if err != nil {
		return nil, err
	}
	s.spend(free)
	out := &Outcome{Free: free}
	if out.Plan, err = s.by(n, free, o.RunnersUp); err != nil {
		return nil, err
	}
	if n.Count() == 1 {
		out.Each = []Plan{out.Plan}
		return out, nil
	}
	for i := range n.Count() {
		one, plan := n.Only(i), Plan{}
		if !s.over() {
			if plan, err = s.by(&one, free, 0); err != nil {
				return nil, err
			}
		}
		out.Each = append(out.Each, plan)
	}
	return out, nil
}

// solver has what all searches of one call share.
type solver struct {
	p     *rip.Problem
	terms paced.Terms
	o     rip.Options
	left  int64 // steps, if limited
	turns bool
}

func (s *solver) solve(p *rip.Problem, o rip.Options) (*rip.Result, error) {
	if s.turns {
		return turned.Solve(p, s.terms, o)
	}
	return paced.Solve(p, s.terms, o)
}

func (s *solver) spend(r *rip.Result) {
	if s.left > 0 {
		s.left = max(s.left-r.Work, 0)
	}
}

// over reports whether the limits leave nothing for a search.
func (s *solver) over() bool { return s.o.Work > 0 && s.left == 0 || s.o.Stop != nil && s.o.Stop() }

// by gives the best plan by instructions.
func (s *solver) by(n *Instructions, free *rip.Result, runnersUp int) (Plan, error) {
	if Keeps(s.p, n, free.Best) {
		return s.free(n, free, runnersUp), nil
	}
	q := Narrowed(s.p, n)
	o := s.o
	o.RunnersUp = runnersUp
	if o.Work > 0 {
		o.Work = max(s.left, 1)
	}
	copies := doubled{of: s.p}
	copies.add(q, n)
	if err := s.bonus(&copies); err != nil {
		return Plan{}, err
	}
	r, err := s.solve(&copies.Problem, o)
	if err != nil {
		return Plan{}, err
	}
	s.spend(r)
	return s.single(&copies, n, r), nil
}

// free is the plan of a search without instructions that keeps them all the same, with
// those runners-up that do.
func (s *solver) free(n *Instructions, free *rip.Result, runnersUp int) Plan {
	r := *free
	r.RunnersUp = nil
	for _, plan := range free.RunnersUp {
		if Keeps(s.p, n, plan) && len(r.RunnersUp) < runnersUp {
			r.RunnersUp = append(r.RunnersUp, plan)
		}
	}
	return Plan{Result: &r, Made: made(n, r.Best), Kept: true}
}

// bonus sets the bonus of the copies: above the worth of any plan and the price of any
// cycle.
func (s *solver) bonus(c *doubled) error {
	if len(c.copies) == 0 {
		return nil
	}
	most, costs := unit.Worth{}, unit.Worth{}
	for t := wood.AsScanned; int(t) < wood.Turns; t++ {
		if t != wood.AsScanned && (!s.turns || s.p.Board.StraightNear && t.Edges()) {
			continue
		}
		r, err := rip.Solve(turned.At(&c.Problem, t), rip.Options{Work: 1})
		if err != nil {
			return err
		}
		if r.Bound.Cmp(most) > 0 {
			most = r.Bound
		}
		costs = costs.Add(turned.Cost(&s.p.Saw, t))
	}
	c.bonus = most.Add(costs)
	c.bonus = c.bonus.Add(unit.Worth{Lo: 1})
	if s.terms.Price > 0 {
		c.bonus = c.bonus.Add(s.terms.Cost(s.p.Board.Length, farthest))
	}
	for _, i := range c.copies {
		c.Items[i].Bonus = c.bonus
	}
	return nil
}

// farthest is further than any axis can move.
const farthest = 20_000 * unit.Millimetre

// single gives a result as plans of the order's own items.
func (s *solver) single(c *doubled, n *Instructions, r *rip.Result) Plan {
	out := Plan{Result: r, Kept: true}
	all := 0
	for _, f := range n.Forced {
		all += f.Strips
	}
	// A plan with fewer copies is worth less by their bonus, and one with the item in their
	// place is of a kind that came before.
	r.RunnersUp = slices.DeleteFunc(r.RunnersUp, func(plan *rip.Plan) bool { return c.forced(plan) < all })
	for _, plan := range append([]*rip.Plan{r.Best}, r.RunnersUp...) {
		c.undo(plan)
	}
	out.Made = made(n, r.Best)
	strips := 0
	for i, f := range n.Forced {
		strips += min(out.Made[i], f.Strips)
		out.Kept = out.Kept && out.Made[i] >= f.Strips
	}
	if !out.Kept && r.Proven { // it is the best plan of those with equally many
		all = strips
	}
	for range all {
		r.Bound = r.Bound.Sub(c.bonus)
	}
	if net := turned.Net(s.p, s.terms, r.Best); r.Bound.Cmp(net) < 0 {
		r.Bound = net
	}
	return out
}

// made is how many strips a plan has of each forced item.
func made(n *Instructions, plan *rip.Plan) []int {
	all := make([]int, len(n.Forced))
	for i, f := range n.Forced {
		for k := range plan.Pockets {
			if plan.Pockets[k].Item == f.Item {
				all[i]++
			}
		}
	}
	return all
}

// Keeps reports whether a plan keeps all instructions.
func Keeps(p *rip.Problem, n *Instructions, plan *rip.Plan) bool {
	for i, m := range made(n, plan) {
		if m < n.Forced[i].Strips {
			return false
		}
	}
	for k := range plan.Pockets {
		if slices.Contains(n.Forbidden, plan.Pockets[k].Item) {
			return false
		}
	}
	for _, l := range n.Locks {
		at := plan.Fence
		if l.Axis != FenceAxis {
			at = plan.Blades[l.Axis]
		}
		if at != stop(p, l) {
			return false
		}
	}
	return true
}

// off makes an item full, so that none of it is cut.
func off(it *order.Item) { it.Measure, it.Required, it.Made, it.PieceLength = order.ByLength, 0, 0, 0 }
