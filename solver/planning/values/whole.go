package values

import (
	"errors"
	"math"
	"math/big"
	"slices"

	"github.com/ripwright/ripwright/solver/rip"
)

// Whole is a plan in whole boards, for lots of one kind of board each.
type Whole struct {
	Patterns []Pattern
	Boards   int64
	Cost     float64 // in units of the objective
	// Proven says that no plan in whole boards costs less, by exact arithmetic.
	Proven bool
	// Filled says that all rows are filled, except impossible ones. They are not if the
	// search was stopped.
	Filled bool

	// millionths is Cost before rounding. It is never changed in place: copies share it.
	millionths *big.Int
}

// none is an empty plan.
func none() *Whole { return &Whole{millionths: new(big.Int)} }

// cheaper reports whether a plan fills the order at less cost than another.
func (w *Whole) cheaper(than *Whole) bool {
	return w.Filled && (!than.Filled || w.millionths.Cmp(than.millionths) < 0)
}

// Pattern is one way to rip a board of a lot, and the number of boards ripped that way.
type Pattern struct {
	Lot   int
	Times int64
	Plan  *rip.Plan
	Items []int   // maps the plan's items to the order's
	Made  []int64 // of each row
}

// mostWhole limits the boards of a plan in whole boards.
const mostWhole = 10_000_000

// cappedWork limits the search for a single board near the end of the order, where
// overruns must be avoided.
const cappedWork = 50_000

// Whole fills open with whole boards: it takes the whole part of the cheapest fractional
// plan, plans what is left in the same way, and when no whole board is left, adds one
// board at a time. A greedy plan comes first, so that there is one as soon as possible,
// and plans by corrected values (correct.go). If the bound leaves room below that, a
// limited search follows (dive.go). The result is often optimal, and Proven says when the
// bound shows it. It reports false if a lot has more than one kind of board.
func (pl *Planner) Whole(plan *Plan, open []int64, o Options) (*Whole, bool, error) {
	if !pl.alike() {
		return nil, false, nil
	}
	open = slices.Clone(open)
	for _, k := range plan.Impossible {
		open[k] = 0
	}
	best, err := pl.greedy(open, &o)
	if err != nil {
		return nil, true, err
	}
	if pl.judge(best, plan); best.Proven || o.stopped() {
		return best, true, nil
	}
	if best, err = pl.corrected(best, plan, open, &o, correctedWork); err != nil {
		return nil, true, err
	}
	if best.Proven || o.stopped() {
		return best, true, nil
	}
	for _, tilt := range tilts {
		w, err := pl.fill(plan, open, tilt, &o)
		if errors.Is(err, errMaster) {
			return best, true, nil // what is left cannot be planned better
		}
		if err != nil {
			return nil, true, err
		}
		if w.cheaper(best) {
			best = w
		}
		if pl.judge(best, plan); best.Proven || o.stopped() {
			return best, true, nil
		}
	}
	d := diver{pl: pl, o: &o, best: best, nodes: mostNodes, until: pl.work.Load() + mostWork}
	for held := range int64(mostHeld) {
		if err := d.dive(none(), open, held); err != nil && !errors.Is(err, errMaster) {
			return nil, true, err
		}
		if pl.judge(d.best, plan); d.best.Proven || o.stopped() {
			break
		}
	}
	return d.best, true, nil
}

// tilts raise the value of wide strips over that of narrow ones, by a power of their
// width, for the last boards: wide strips are hard to place late.
var tilts = []float64{0, 0.05, 0.2, 0.5}

// alike reports whether every lot is one kind of board.
func (pl *Planner) alike() bool {
	return !slices.ContainsFunc(pl.p.Lots, func(l Lot) bool { return len(l.Kinds) != 1 })
}

// Greedy gives a plan in whole boards much like the first one of Whole: within about a
// second, before anything is planned. It reports false if a lot has more than one kind of
// board, or if the plan does not fill the order.
func (pl *Planner) Greedy(open []int64, o Options) (*Whole, bool, error) {
	if !pl.alike() {
		return nil, false, nil
	}
	w, err := pl.greedy(open, &o)
	if err == nil && w.Filled {
		by := &Plan{ToCut: pl.areas(), ExactBound: pl.areaBound(open, nil)}
		w, err = pl.corrected(w, by, open, &o, soonCorrected)
	}
	if err != nil {
		return nil, false, err
	}
	return w, w.Filled, nil
}

// leastArea is the least area in m2 of a metre or a piece of a row when boards are ripped
// for the most area: a row whose tolerance equals its width has no least area, but must
// still be filled. Any strip is wider than a micrometre.
const leastArea = 1e-6

// greedy rips boards for the most area of what is left, using each way to rip one as
// often as it makes nothing unwanted.
func (pl *Planner) greedy(open []int64, o *Options) (*Whole, error) {
	return pl.ripped(open, pl.areas(), o, func(*Pattern, []int64) {})
}

// areas values rows by the area that they take.
func (pl *Planner) areas() []float64 {
	values := make([]float64, len(pl.Demand.Rows))
	for k := range values {
		values[k] = math.Max(pl.area(k), leastArea)
	}
	return values
}

// ripped rips boards by values, using each way to rip one as often as it makes nothing
// unwanted. next is called with each, and with what was open before, and may change the
// values.
func (pl *Planner) ripped(open []int64, values []float64, o *Options, next func(p *Pattern, open []int64)) (*Whole, error) {
	w, open := none(), slices.Clone(open)
	plan := &Plan{ToCut: values}
	for !filled(open) {
		if o.stopped() || w.Boards > mostWhole {
			return w, nil
		}
		p, err := pl.last(plan, open, 0, o)
		if err != nil || p == nil {
			return w, err
		}
		made := make([]int64, len(open))
		pl.Demand.Made(p.Plan, p.Items, made)
		again := int64(math.MaxInt64)
		for k, m := range made {
			if m > 0 && open[k] > 0 {
				again = min(again, open[k]/m)
			}
		}
		if again == math.MaxInt64 {
			return w, nil // nothing of what is left
		}
		p.Times, p.Made = max(again, 1), made
		next(p, open)
		pl.put(w, open, *p)
	}
	w.Filled = true
	return w, nil
}

// judge compares the plan with the bound, rounded up to a possible cost of whole boards.
// Both are exact.
func (pl *Planner) judge(w *Whole, plan *Plan) {
	w.Proven = w.Filled && w.millionths.Cmp(pl.roundUp(plan.ExactBound)) <= 0
}

// roundUp gives the least cost of whole boards that is not below a bound, in millionths:
// such costs are multiples of the greatest common divisor of the boards' costs.
func (pl *Planner) roundUp(bound *big.Rat) *big.Int {
	common := new(big.Int)
	for g := range pl.cost {
		for _, c := range pl.cost[g] {
			common.GCD(nil, nil, common, big.NewInt(c))
		}
	}
	per := new(big.Rat).SetFrac(big.NewInt(1_000_000), common)
	per.Mul(per, bound)
	least, rest := new(big.Int).QuoRem(per.Num(), per.Denom(), new(big.Int))
	if rest.Sign() > 0 {
		least.Add(least, big.NewInt(1))
	}
	return least.Mul(least, common)
}

// put counts a pattern and subtracts what it makes from what is open.
func (pl *Planner) put(w *Whole, open []int64, p Pattern) {
	p.Made = make([]int64, len(open))
	pl.Demand.Made(p.Plan, p.Items, p.Made)
	for k := range open {
		open[k] -= min(open[k], p.Made[k]*p.Times)
	}
	w.Boards += p.Times
	cost := new(big.Int).Mul(big.NewInt(pl.cost[p.Lot][0]), big.NewInt(p.Times))
	w.millionths = cost.Add(cost, w.millionths)
	w.Cost, _ = new(big.Rat).SetFrac(w.millionths, big.NewInt(1_000_000)).Float64()
	w.Patterns = append(w.Patterns, p)
}

func filled(open []int64) bool {
	return !slices.ContainsFunc(open, func(v int64) bool { return v > 0 })
}
