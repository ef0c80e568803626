package values

import (
	"errors"
	"math/big"
)

// search is one run of the column generation.
type search struct {
	pl   *Planner
	o    *Options
	open []int64 // of all rows
	rows []int   // the open rows that are possible
	terms
	// boards counts boards instead of their cost, and reaching enough ends the search; 0:
	// only the bound ends it.
	boards bool
	enough float64

	basis []held // of the last programme; nil: not identified

	// quick says that boards are searched with soonWork, and that the plans found are
	// taken as the best: seems is the bound if they are.
	quick bool
	seems *big.Rat

	// drafts are plans made without the programme: none of so few rows that it soon has one.
	drafts []*draft
	// soonest fills the rows of the first terms in the fewest boards.
	soonest []use

	cost   float64   // of the best fractional plan
	better []float64 // values that gave the best bound, scaled, of all rows
	plan   *Plan
}

// serves reports whether the best policy of row k alone, if there is one, can still be
// used.
func (s *search) serves(k int) bool {
	if s.pl.best[k] < 0 {
		return true
	}
	_, ok := s.pl.makes(s.pl.pool[s.pl.best[k]], k, s.open[k])
	return ok
}

// makes is what a usable policy makes of row k.
func (s *search) makes(p *policy, k int) float64 {
	m, _ := s.pl.makes(p, k, s.open[k])
	return m
}

// amounts gives what is open of the rows in the search, and the cost of filling each
// alone.
func (s *search) amounts() (open, ceil []float64) {
	for _, k := range s.rows {
		p := s.pl.pool[s.pl.best[k]]
		d := s.pl.Demand.Rows[k].Units(s.open[k])
		open = append(open, d)
		ceil = append(ceil, d/s.makes(p, k)*s.costs(p))
	}
	return open, ceil
}

// costs is the cost of a board cut by a policy.
func (s *search) costs(p *policy) float64 {
	if s.boards {
		return 1
	}
	return p.cost
}

// smooth is the weight of the best bound's values in the values that are priced. The
// values of the programme alone oscillate widely at first, since few policies constrain
// them.
const smooth = 0.5

// soonWork limits the search for a board in the first rounds of planning. Most boards
// need less. Of those that need more nearly all have found their best plan by then, and
// the rest is proof: so policies come early, and only the last rounds wait for proofs. If
// no proof is needed, foundWork, a quarter of it, finds the same plans in almost every
// case. The start of the programme need not be good: startWork.
const (
	soonWork  = 20_000
	foundWork = 5_000
	startWork = 2_000
)

// soon gives the options of a search for boards in the first rounds.
func (s *search) soon() *Options {
	if s.o.Found {
		return s.o.within(foundWork)
	}
	return s.o.within(soonWork)
}

// run finds the cheapest fractional plan: first from the plans that searches find soon,
// then, unless only those are asked for, from proven ones.
func (s *search) run() error {
	open, ceil := s.amounts()
	if s.o.stopped() {
		// The programme would be set up for nothing, which takes a while.
		if d := s.drawn(); d != nil {
			s.plan.Stopped = true
			s.adopt(d)
			return nil
		}
	}
	s.quick = !s.boards || s.o.Found
	if err := s.generate(open, ceil); err != nil {
		return err
	}
	if s.quick && !s.o.Found && !s.plan.Stopped {
		s.quick = false
		if err := s.generate(open, ceil); err != nil {
			return err
		}
	}
	return s.finish(open)
}

// generate adds policies until cost and bound meet.
func (s *search) generate(open, ceil []float64) error {
	weight := smooth
	for {
		pool, index := s.narrow()
		pi, mu, cost, basis, err := rowValues(pool, open, ceil, s.alone(index), s.near(index), s.places(), s.o.Stop)
		if errors.Is(err, errStopped) {
			s.plan.Stopped = true
			return nil
		}
		if errors.Is(err, errMaster) && s.better != nil {
			return nil // with the values and policies known so far
		}
		if err != nil {
			return err
		}
		s.cost = cost
		s.hold(basis, index)
		if s.closed() || s.plan.Rounds >= s.o.Rounds {
			s.plan.Stopped = !s.closed()
			return nil
		}
		ask := make([]float64, len(s.open))
		for j, k := range s.rows {
			ask[k] = pi[j]
			if s.better != nil {
				ask[k] = weight*s.better[k] + (1-weight)*pi[j]
			}
		}
		before := len(s.pl.pool)
		whole := s.ask(ask, pi, mu)
		if !whole {
			s.plan.Stopped = true
			return nil
		}
		s.plan.Rounds++
		switch added := len(s.pl.pool) > before; {
		case added:
			weight = smooth
			s.tidy(pool, index, pi, mu)
		case weight == 0:
			// The programme's own values bring no new policy: it is solved to the precision
			// of its arithmetic.
			return nil
		default:
			weight = 0
		}
	}
}

// closed reports whether cost and bound agree, or seem to if that is enough.
func (s *search) closed() bool {
	switch {
	case s.enough > 0 && s.cost <= s.enough, s.proven():
		return true
	case s.quick && s.seems != nil:
		return s.cost-down(s.seems) <= s.o.Gap*s.cost
	}
	return false
}

// proven reports whether cost and bound agree.
func (s *search) proven() bool {
	b := down(s.plan.ExactBound)
	// A cost below the bound is not valid: the library's arithmetic has failed.
	return s.plan.ExactBound != nil && s.cost-b <= s.o.Gap*s.cost && s.cost >= b*(1-belowBound)
}

// overfull is the excess over a limited lot's boards, in boards or as a fraction of them,
// that counts as rounding.
const overfull = 1e-6

// has reports whether a lot has so many boards.
func (l *Lot) has(boards float64) bool {
	return !l.Limited || fit(boards, l.Most)
}

func fit(boards, most float64) bool { return boards <= most*(1+overfull)+overfull }

// finish takes the programme's plan, or the draft if that is cheaper or the programme has
// none.
func (s *search) finish(open []float64) error {
	err := s.level(open)
	none := errors.Is(err, errMaster) || errors.Is(err, errStopped)
	if err != nil && !none {
		return err
	}
	if s.plan.Proven {
		return nil
	}
	d := s.drawn()
	if d == nil {
		return err
	}
	if none || len(s.plan.uses) == 0 || s.plan.Short || d.cost < s.cost {
		s.adopt(d)
	}
	return nil
}

// level works out the number of boards of each lot in the cheapest plan of the programme.
// The plan's cost is that of these boards, not that of the dual.
func (s *search) level(open []float64) error {
	pool, index := s.narrow()
	x, err := primal(pool, open, s.alone(index), s.near(index), s.places(), s.o.Stop)
	if err != nil {
		return err
	}
	s.cost = 0
	for i, boards := range x {
		if boards > 0 {
			s.cost += boards * pool[i].cost
			s.plan.uses = append(s.plan.uses, use{s.pl.pool[index[i]], boards})
			s.plan.Boards[pool[i].lot] += boards
		}
	}
	for g := range s.pl.p.Lots {
		lot := &s.pl.p.Lots[g]
		switch {
		case lot.has(s.plan.Boards[g]):
		case s.plan.Stopped:
			// Whether other boards would do is not known: this is no plan.
			s.plan.uses, s.plan.Boards, s.cost = nil, make([]float64, len(s.plan.Boards)), 0
			return nil
		default:
			s.plan.Short = true
		}
	}
	s.plan.Proven = (s.proven() || s.enough > 0 && s.cost <= s.enough) && !s.plan.Short
	return nil
}
