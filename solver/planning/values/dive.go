package values

import (
	"cmp"
	"slices"
)

// Limits of the search for a better plan in whole boards.
const (
	mostNodes = 400
	mostWork  = 50_000_000 // steps of the solver of one board
	// mostHeld is the most boards of every policy that the search holds back so that it
	// can use them otherwise.
	mostHeld = 3
)

// diver rips board after board, at first by the fractional plan for what is left, and
// backtracks to try other policies of that plan. It prunes a branch when the bound on
// what is left shows that no better plan follows.
type diver struct {
	pl    *Planner
	o     *Options
	best  *Whole
	nodes int
	until int64 // stops when the planner's work reaches it
}

func (d *diver) dive(w *Whole, open []int64, held int64) error {
	if filled(open) {
		w.Filled = true
		if w.cheaper(d.best) {
			d.best = w
		}
		return nil
	}
	if d.nodes--; d.nodes < 0 || d.pl.work.Load() > d.until || d.o.stopped() {
		return nil
	}
	plan, err := d.pl.Plan(open, *d.o)
	if err != nil || len(plan.uses) == 0 {
		return err
	}
	least := d.pl.roundUp(plan.ExactBound)
	if d.best.Filled && least.Add(least, w.millionths).Cmp(d.best.millionths) >= 0 {
		return nil
	}
	if len(w.Patterns) == 0 {
		next, rest := w.copy(), slices.Clone(open)
		if d.pl.floors(next, plan, rest, held) > 0 {
			return d.dive(next, rest, held)
		}
	}
	uses := slices.Clone(plan.uses)
	slices.SortStableFunc(uses, func(a, b use) int { return cmp.Compare(b.boards, a.boards) })
	var ways []Pattern
	p, err := d.pl.last(plan, open, 0, d.o)
	if err != nil {
		return err
	}
	if p != nil {
		ways = append(ways, *p)
	}
	for _, u := range uses {
		if u.policy.plan != nil {
			ways = append(ways, u.pattern(1))
		}
	}
	for _, p := range ways {
		next, rest := w.copy(), slices.Clone(open)
		d.pl.put(next, rest, p)
		if err := d.dive(next, rest, held); err != nil {
			return err
		}
	}
	return nil
}

func (w *Whole) copy() *Whole {
	c := *w
	c.Patterns = slices.Clone(w.Patterns)
	return &c
}
