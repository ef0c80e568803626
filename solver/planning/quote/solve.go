package quote

import (
	"math"
	"slices"
	"sync"

	"github.com/ripwright/ripwright/solver/planning/demand"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/planning/replan"
	"github.com/ripwright/ripwright/solver/planning/values"
	"github.com/ripwright/ripwright/solver/wood"
)

// Solve quotes an order. The error is a fault.List or an error of the library for linear
// programmes.
func Solve(p *Problem, o Options) (*Result, error) {
	pl, err := values.New(&p.Values)
	if err != nil {
		return nil, err
	}
	open := pl.Demand.Open()
	for k := range open {
		if p.Scrap != nil {
			open[k] = int64(min(math.Ceil(float64(open[k])*(1+p.Scrap[k])), mostOpen))
		}
	}
	plan, err := pl.Plan(open, o.Values)
	if err != nil {
		return nil, err
	}
	r := &Result{Planner: pl, Plan: plan, Stopped: plan.Stopped && stopped(&o)}
	if r.Stopped || len(plan.Impossible) == count(open) {
		return r, nil
	}
	if p.Stock {
		plan.Boards = fewer(pl, p.Values.Lots, plan, open, o.Values)
	}
	shares, sum := make([]float64, len(p.Lots)), 0.0
	for g := range shares {
		sum += plan.Boards[g]
		shares[g] = sum
	}
	var mu sync.Mutex
	done := 0
	tallies := make([]*tally, o.Runs*len(o.Policies))
	against := []*tally{}
	if o.Against && o.Policies[0] == Planned && !slices.Contains(o.Policies, Yield) {
		against = make([]*tally, min(o.Runs, againstRuns))
	}
	// Run n of every policy sees the same boards: they come from one stream. The few runs
	// of Against come early, so that some are done if a limit ends the quote.
	type task struct {
		policy Policy
		n      int
		into   **tally
		asked  bool
	}
	var tasks []task
	for n := range o.Runs {
		for i, policy := range o.Policies {
			tasks = append(tasks, task{policy, n, &tallies[i*o.Runs+n], true})
		}
		if n < len(against) {
			tasks = append(tasks, task{Yield, n, &against[n], false})
		}
	}
	each := o.Values.Each
	if each == nil {
		each = func(n int, f func(int)) {
			for i := range n {
				f(i)
			}
		}
	}
	each(len(tasks), func(i int) {
		if stopped(&o) {
			return
		}
		t := &tasks[i]
		run := &course{p: p, o: &o, policy: t.policy, pl: pl, plan: plan, shares: shares}
		run.start(open)
		if !run.to(lumber.Random(o.Seed, firstRun+uint64(t.n)), lumber.Random(o.Seed, firstTold+uint64(t.n)), open) {
			return
		}
		*t.into = &run.tally
		if t.asked && o.Progress != nil {
			mu.Lock()
			defer mu.Unlock()
			done++
			o.Progress(done)
		}
	})
	for i, policy := range o.Policies {
		kept := slices.DeleteFunc(slices.Clone(tallies[i*o.Runs:(i+1)*o.Runs]), func(t *tally) bool { return t == nil })
		r.Stopped = r.Stopped || len(kept) < o.Runs
		if len(kept) > 0 {
			r.Outcomes = append(r.Outcomes, outcome(p, pl, policy, kept, o.Level))
		}
	}
	r.advise(p, &o, tallies, against)
	if o.Ended != nil {
		o.Ended(pl, plan, open)
	}
	// A plan in whole boards heeds neither dues nor limits of lots.
	if !slices.ContainsFunc(pl.Demand.Rows, func(row demand.Row) bool { return row.Due > 0 }) &&
		!slices.ContainsFunc(p.Values.Lots, func(l values.Lot) bool { return l.Limited }) {
		w, ok, err := pl.Whole(plan, open, o.Values)
		if err != nil {
			return nil, err
		}
		if ok && w.Filled {
			r.Whole = w
		}
	}
	return r, nil
}

// mostOpen is the most of a row that an order may want, which leaves room for sums: no run
// comes near it.
const mostOpen = 1_000_000_000_000_000_000

// againstRuns is enough to see a difference of a few per cent: runs on the same boards
// differ by little else.
const againstRuns = 9

// advise compares the policies over the runs that all of them finished.
func (r *Result) advise(p *Problem, o *Options, tallies, against []*tally) {
	r.Advised = o.Policies[0]
	of := func(t *tally) float64 {
		switch p.Values.Objective {
		case values.Boards:
			return float64(t.boards)
		case values.Face:
			return t.face
		case values.Cost:
		}
		return t.cost
	}
	first := tallies[:o.Runs]
	compare := func(policy Policy, other []*tally) {
		mine, theirs := 0.0, 0.0
		for i, t := range other {
			if a := first[i]; a != nil && t != nil && !a.unfinished && !t.unfinished {
				mine += of(a)
				theirs += of(t)
			}
		}
		if mine > 0 && 1-theirs/mine > r.Saves {
			r.Advised, r.Saves = policy, 1-theirs/mine
		}
	}
	for i, policy := range o.Policies[1:] {
		compare(policy, tallies[(i+1)*o.Runs:(i+2)*o.Runs])
	}
	compare(Yield, against)
}

// These keep the runs' random streams apart from those of the samples, and from each
// other: of the boards that come, and of those announced beforehand.
const (
	firstRun  = 1 << 20
	firstTold = 1 << 21
)

func stopped(o *Options) bool { return o.Values.Stop != nil && o.Values.Stop() }

func count(open []int64) (n int) {
	for _, v := range open {
		if v > 0 {
			n++
		}
	}
	return n
}

// Boards gives the first n boards that a run of a quote sees, if there is one lot: its
// bound in hindsight can be computed from them.
func Boards(p *Problem, seed uint64, run, n int) []lumber.Kind {
	random := lumber.Random(seed, firstRun+uint64(run))
	out := make([]lumber.Kind, n)
	for i := range out {
		out[i] = lumber.Kind{Board: p.Lots[0].From.Draw(random), Count: 1}
	}
	return out
}

// Told gives the boards announced beforehand to a run by planned values, if there is one
// lot.
func Told(p *Problem, seed uint64, run int) []wood.Board {
	random := lumber.Random(seed, firstTold+uint64(run))
	out := make([]wood.Board, replan.MaxBoards)
	for i := range out {
		out[i] = p.Lots[0].From.Draw(random)
	}
	return out
}
