// Package overlap finds the best way to rip a board for two orders, of which one comes
// first. Otherwise the last boards of an order would lose the wood that it no longer
// needs.
//
// The order that comes first gets as much of each of its items as the best plan for it
// alone gives. By the values of both, an order whose items are worth less than those of
// the next one would never be finished. So the plan for the first order alone is searched
// first. Of each of its items only the largest strips are needed, as many as fill what is
// open. Then the board is searched with the items of both orders. Items of the first
// order take no more strips than needed, except short ones, and count a multiple of their
// value: enough that a plan rarely gives one up for others, and little enough that among
// plans that serve the first order equally the other items, the saw's time and wood fed
// again decide. If the best plan still gives the first order less, the board is ripped
// for that order alone. Results are stated at the true values.
package overlap

import (
	"math"
	"math/bits"
	"slices"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/paced"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/turned"
	"github.com/ripwright/ripwright/solver/unit"
)

// Multiple is the factor by which the values of the first order's items count, if values
// leave room for that.
const Multiple = 16

// Options of a search for two orders.
type Options struct {
	rip.Options
	// Half is polled by the search for the first order alone, which must not take all the
	// time: the search ends once this reports true. Nil: as Stop says.
	Half func() bool
	// Turns allows turned boards, as the saw can turn them.
	Turns bool
}

// Solve gives the best plan of a problem; its first items, as many as first says, are of
// the order that comes first. The limits hold for both searches together: the one for the
// first order alone gets at most half of them. Proof and bound refer to the score in
// which those items count a multiple: the bound exceeds the worth of the plan by as much
// as any plan could be better by that score. The error is a fault.List.
func Solve(p *rip.Problem, first int, t paced.Terms, o Options) (*rip.Result, error) {
	s := solver{p: p, first: first, terms: t, o: o, left: o.Work}
	one := *p
	one.Items = p.Items[:first:first]
	stop := o.Stop
	if o.Half != nil {
		stop = o.Half
	}
	alone, err := s.solve(&one, stop, (s.left+1)/2)
	if err != nil {
		return nil, err
	}
	s.alone = alone.Best
	r := alone
	if !s.over() {
		both, err := s.both()
		if err != nil {
			return nil, err
		}
		if both != nil {
			r = both
		}
	}
	r.Work, r.Memory = s.work, s.memory
	return r, nil
}

// solver has what all searches of one call share.
type solver struct {
	p     *rip.Problem
	first int
	terms paced.Terms
	o     Options
	left  int64     // steps, if limited
	alone *rip.Plan // the best for the first order alone

	work, memory int64 // of all searches
}

// over reports whether the limits leave nothing for a search.
func (s *solver) over() bool { return s.o.Work > 0 && s.left == 0 || s.o.Stop != nil && s.o.Stop() }

// solve searches within work steps, without a limit if that is 0.
func (s *solver) solve(p *rip.Problem, stop func() bool, work int64) (*rip.Result, error) {
	o := s.o.Options
	o.Stop, o.Work = stop, work
	solve := paced.Solve
	if s.o.Turns {
		solve = turned.Solve
	}
	r, err := solve(p, s.terms, o)
	if err == nil {
		s.left = max(s.left-r.Work, 0)
		s.work, s.memory = s.work+r.Work, max(s.memory, r.Memory)
	}
	return r, err
}

// both searches for both orders, items of the first worth a multiple, and gives nil if
// the best plan gives the first order less than it would have alone.
func (s *solver) both() (*rip.Result, error) {
	both := *s.p
	both.Items = order.CloneItems(s.p.Items)
	s.tighten(&both)
	times := multiply(both.Items[:s.first])
	r, err := s.solve(&both, s.o.Stop, s.left)
	if err != nil || !s.serves(r.Best, times) {
		return nil, err
	}
	above := r.Bound.Sub(turned.Net(s.p, s.terms, r.Best))
	s.undo(r.Best, times)
	net := turned.Net(s.p, s.terms, r.Best)
	r.Bound = net.Add(above)
	// Those of the others stay that serve the first order equally, and are worse by the
	// true values too.
	r.RunnersUp = slices.DeleteFunc(r.RunnersUp, func(plan *rip.Plan) bool {
		if !s.serves(plan, times) {
			return true
		}
		s.undo(plan, times)
		worse := turned.Net(s.p, s.terms, plan)
		if worse.Cmp(net) < 0 {
			net = worse
			return false
		}
		return true
	})
	return r, nil
}

// multiply multiplies the values of items, as far as the limit of values allows, and
// gives the factor.
func multiply(items []order.Item) int64 {
	times := int64(Multiple)
	at := func(do func(v *int64)) {
		for i := range items {
			do(&items[i].Value)
			for k := range items[i].Cuts {
				do(&items[i].Cuts[k].Value)
			}
		}
	}
	at(func(v *int64) {
		if *v > 0 {
			times = min(times, max(saw.MaxValue / *v, 1))
		}
	})
	at(func(v *int64) { *v *= times })
	return times
}

// limit gives what is open of an item in the unit in which its strips are summed, if that
// is what limits it. Strips for crosscut lengths are worth their pieces.
func limit(it *order.Item) (open int64, limited bool) {
	open, limited = it.Open()
	if it.Measure == order.ByArea {
		open = min(open, math.MaxInt64/int64(unit.Micrometre)) * int64(unit.Micrometre) // amounts are in unit.Area
	}
	return open, limited && len(it.Cuts) == 0
}

// serves reports whether a plan gives the first order as much of each item as the best
// plan for it alone: of what is open, or, if that does not limit the item, by the worth
// of its strips, which the plan counts a number of times.
func (s *solver) serves(plan *rip.Plan, times int64) bool {
	for i := range s.p.Items[:s.first] {
		it := &s.p.Items[i]
		if open, limited := limit(it); limited {
			if min(amount(plan, i), open) < min(amount(s.alone, i), open) {
				return false
			}
		} else if worth(plan, i, times).Cmp(worth(s.alone, i, 1)) < 0 {
			return false
		}
	}
	return true
}

// amount is the total amount of a plan's strips of an item.
func amount(plan *rip.Plan, item int) (sum int64) {
	for k := range plan.Pockets {
		if plan.Pockets[k].Item == item {
			sum += plan.Pockets[k].Amount
		}
	}
	return sum
}

// worth is the true worth of a plan's strips of an item, which the plan counts a number
// of times.
func worth(plan *rip.Plan, item int, times int64) (sum unit.Worth) {
	for k := range plan.Pockets {
		if pk := &plan.Pockets[k]; pk.Item == item {
			sum = sum.Add(part(pk.Worth, times))
		}
	}
	return sum
}

// tighten lets the items of the first order take no more strips than it needs of the best
// plan for it alone, the largest. An item takes strips as long as all but the largest
// leave something open, so what is open is reduced to what one strip less can count, plus
// one.
func (s *solver) tighten(p *rip.Problem) {
	for i := range p.Items[:s.first] {
		it := &p.Items[i]
		open, limited := limit(it)
		if !limited {
			continue
		}
		var strips []int64
		for k := range s.alone.Pockets {
			if pk := &s.alone.Pockets[k]; pk.Item == i {
				strips = append(strips, pk.Amount)
			}
		}
		slices.Sort(strips)
		needs := int64(0)
		for k := len(strips) - 1; k >= 0 && open > 0; k-- {
			needs, open = needs+1, open-strips[k]
		}
		if needs == 0 {
			continue
		}
		wide := it.Max
		if !it.Random {
			wide += it.Tolerance
		}
		each := it.Counting().Strip(wide, p.Board.Length.Floor())
		if it.Measure == order.ByArea {
			each = (each + int64(unit.Micrometre) - 1) / int64(unit.Micrometre)
		}
		left, _ := it.Open()
		it.Made = it.Required - min(left, (needs-1)*each+1)
	}
}

// undo states a plan's worth by the true values, if those of the first order were
// multiplied.
func (s *solver) undo(plan *rip.Plan, times int64) {
	for k := range plan.Pockets {
		if pk := &plan.Pockets[k]; pk.Item != rip.None && pk.Item < s.first {
			is := part(pk.Worth, times)
			plan.Worth = plan.Worth.Sub(pk.Worth.Sub(is))
			pk.Worth = is
		}
	}
}

// part divides a worth exactly by n: worths are products with the value.
func part(w unit.Worth, n int64) unit.Worth {
	hi, rest := uint64(w.Hi)/uint64(n), uint64(w.Hi)%uint64(n)
	lo, _ := bits.Div64(rest, w.Lo, uint64(n))
	return unit.Worth{Hi: int64(hi), Lo: lo}
}
