package share

import (
	"math"
	"slices"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/planning/values"
	"github.com/ripwright/ripwright/solver/saw"
)

// Lines are the lines that share an order, and the boards that come to any of them.
type Lines struct {
	Items  []order.Item // what is made or reserved counts as made; something is open
	Boards []lumber.Kind
	Saws   []saw.Saw
	Paces  []float64 // in boards or face per time: none below 0, at least one above
}

// Planned is the result of planning for lines.
type Planned struct {
	// Planner and its plan; nil if there was no time to begin.
	Planner *values.Planner
	Plan    *values.Plan
	// Boards are the boards that each line cuts until all of them end, with fractions.
	// Nil: a limit came before there was a plan, or no board gives anything.
	Boards []float64
	// Face is the face that all lines take, in m2.
	Face float64
	// Makes is what each line makes of each row of the planner's demand in that time, in
	// units of the row, if lines differ; nil: all make the same of a board.
	Makes [][]float64
	// Stopped says that a limit ended the planning.
	Stopped bool
}

// Limits of the search for the time in which lines that differ end together: how often
// the programme is solved, and its relative precision.
const (
	mostTries = 24
	endWithin = 2e-3
)

// gap is the relative gap of values, as on a line: they are based on a few boards.
const gap = 2e-3

// Alike reports whether the saws of all lines with a pace rip alike.
func (p *Lines) Alike() bool {
	first := -1
	for l := range p.Saws {
		switch {
		case p.Paces[l] <= 0:
		case first < 0:
			first = l
		case p.Saws[l].Fingerprint() != p.Saws[first].Fingerprint():
			return false
		}
	}
	return true
}

// Plan finds the values that fill the order with the least lumber, and each line's part
// of it. The error is a fault.List, or one of the library for linear programmes.
//
// Lines that are alike share in proportion to their paces. Otherwise each line is a lot,
// ripped on its own saw, with as many boards as the line cuts in a time; the time is the
// least in which the programme of package values fills the order. No line that can help
// then ends before another. That programme ignores dues.
func Plan(p *Lines, o values.Options) (*Planned, error) {
	if o.Stop != nil && o.Stop() {
		return &Planned{Stopped: true}, nil
	}
	o.Gap, o.Found = gap, true
	q := values.Problem{Items: p.Items, Objective: values.Face, Lost: values.Everything}
	kinds, alike := lumber.Merged(p.Boards), p.Alike()
	var at []int // the line of each lot
	for l := range p.Saws {
		if p.Paces[l] > 0 {
			at = append(at, l)
		}
	}
	q.Saw = p.Saws[at[0]]
	if alike {
		q.Lots = []values.Lot{{ID: "lines", Kinds: kinds}}
	} else {
		q.Items = slices.Clone(p.Items)
		for i := range q.Items {
			q.Items[i].Due = 0
		}
		for _, l := range at {
			q.Lots = append(q.Lots, values.Lot{ID: "line", Kinds: kinds, Saw: &p.Saws[l]})
		}
	}
	pl, err := values.New(&q)
	if err != nil {
		return nil, err
	}
	plan, err := pl.Plan(pl.Demand.Open(), o)
	if err != nil {
		return nil, err
	}
	out := &Planned{Planner: pl, Plan: plan, Stopped: plan.Stopped && o.Stop != nil && o.Stop()}
	if plan.Cost <= 0 || math.IsInf(plan.Cost, 0) {
		return out, nil
	}
	out.Boards = make([]float64, len(p.Saws))
	if alike {
		total := 0.0
		for _, pace := range p.Paces {
			total += pace
		}
		for l, pace := range p.Paces {
			out.Boards[l] = plan.Boards[0] * pace / total
		}
		out.Face = plan.Cost
		return out, nil
	}
	paces := make([]float64, len(at))
	for g, l := range at {
		paces[g] = p.Paces[l]
	}
	if out.Plan, err = together(pl, plan, paces, o); err != nil {
		return nil, err
	}
	out.Stopped = o.Stop != nil && o.Stop()
	out.Face = out.Plan.Cost
	out.Makes = make([][]float64, len(p.Saws))
	for l := range out.Makes {
		out.Makes[l] = make([]float64, len(pl.Demand.Rows))
	}
	for g, made := range pl.Makes(out.Plan) {
		out.Boards[at[g]], out.Makes[at[g]] = out.Plan.Boards[g], made
	}
	return out, nil
}

// together gives the plan that ends earliest, or the best so far when it is stopped. free
// is the plan without a limit on any line: it takes the fewest boards possible, since the
// same boards come to all lines.
func together(pl *values.Planner, free *values.Plan, paces []float64, o values.Options) (best *values.Plan, err error) {
	total := 0.0
	for _, pace := range paces {
		total += pace
	}
	// A plan ends when its last line does, in boards of all lines.
	ends := func(plan *values.Plan) (end float64) {
		for g, boards := range plan.Boards {
			end = math.Max(end, boards*total/paces[g])
		}
		return end
	}
	least := 0.0
	for _, boards := range free.Boards {
		least += boards
	}
	best = free
	lo, hi := least, ends(free)
	n := least * (1 + endWithin)
	for try := 0; try < mostTries && hi-lo > endWithin*hi; try++ {
		for g := range paces {
			pl.Limit(g, true, n*paces[g]/total)
		}
		plan, err := pl.Plan(pl.Demand.Open(), o)
		if err != nil {
			return nil, err
		}
		if plan.Cost <= 0 || math.IsInf(plan.Cost, 0) {
			break // it was stopped
		}
		if plan.Short {
			lo = n
		}
		if end := ends(plan); end < hi {
			best, hi = plan, math.Max(end, lo)
		} else if !plan.Short {
			break // no nearer
		}
		if o.Stop != nil && o.Stop() {
			break
		}
		n = (lo + hi) / 2
	}
	return best, nil
}

// Weights turns fractions into proportional weights. A fraction above 0 has a weight
// above 0.
func Weights(parts []float64) []int64 {
	most := 0.0
	for _, p := range parts {
		most = math.Max(most, p)
	}
	out := make([]int64, len(parts))
	for l, p := range parts {
		if p > 0 {
			out[l] = max(int64(math.Round(p/most*MaxWeight)), 1)
		}
	}
	return out
}
