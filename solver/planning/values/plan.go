package values

import (
	"math"
	"math/big"
	"slices"
)

// Plan is what the search found.
type Plan struct {
	// Values of each row per metre, square metre or piece, scaled so that the
	// boards are together worth what they cost: in units of the objective.
	Values []float64
	// ToCut is Values, but that no row which wants something is worth nothing: a
	// row that comes as a by-product of others has to be cut all the same.
	ToCut []float64
	// Cost fills the order by the policies known, boards taken by parts; no way
	// to fill it costs less than Bound. Both in units of the objective.
	Cost, Bound float64
	// ExactBound is Bound before it was rounded.
	ExactBound *big.Rat
	// Proven says that the two meet within Options.Gap.
	Proven bool
	// Stopped says that Options.Stop or Options.Rounds ended the search.
	Stopped bool
	// Impossible lists the rows that no board gives anything of. They are left
	// out of everything else.
	Impossible []int
	// Short says that there are not enough boards of the lots that have only so many:
	// Boards is more than there are, and Cost no cost.
	Short bool
	// Late lists the rows whose due cannot be kept, by due.
	Late []Late
	// Boards of each lot, by parts.
	Boards []float64
	// Aside is for each kind of each lot whether the values set it aside.
	Aside [][]bool
	// Rounds is how often all boards were priced.
	Rounds int

	uses []use
}

// Late is a row whose due cannot be kept.
type Late struct {
	Row int
	// Least is within how many boards it can be filled at the soonest, if what is
	// due before it comes first; counted like its due.
	Least int64
}

// use of a policy in the cheapest plan.
type use struct {
	policy *policy
	boards float64
}

// Plan finds values for what is open. It errs only where the library for linear
// programmes does.
//
// Where rows are due, the order is cut in terms: one up to each due, and one after
// them. What is due by a term's end is made in it or before, and no term is longer
// than its boards; of that the cost is least. Values are those of the first term.
func (pl *Planner) Plan(open []int64, o Options) (*Plan, error) {
	plan := &Plan{Values: make([]float64, len(open)), Boards: make([]float64, len(pl.p.Lots))}
	if o.Rounds == 0 {
		o.Rounds = DefaultRounds
	}
	s := &search{pl: pl, o: &o, open: open, plan: plan}
	if s.start() && len(s.rows) > 0 {
		var whole bool
		var err error
		if s.terms, whole, err = pl.dues(s); err == nil && whole {
			err = s.run()
		}
		if err != nil && pl.ways.Load() == nil {
			return nil, err
		}
		plan.Stopped = plan.Stopped || !whole
	}
	if l := pl.ways.Load(); l != nil {
		return nil, *l
	}
	if area := pl.areaBound(open, plan.Impossible); plan.ExactBound == nil || plan.ExactBound.Cmp(area) < 0 {
		plan.ExactBound = area
	}
	plan.Bound, plan.Cost = down(plan.ExactBound), s.cost
	plan.ToCut = slices.Clone(plan.Values)
	for _, k := range s.rows {
		alone := pl.pool[pl.best[k]]
		plan.ToCut[k] = max(plan.ToCut[k], byProduct*alone.cost/s.makes(alone, k))
	}
	return plan, nil
}

// Makes is what the cheapest plan makes of each row on each lot's boards, in units of the
// row: by lot, then by row.
func (pl *Planner) Makes(plan *Plan) [][]float64 {
	out := make([][]float64, len(pl.p.Lots))
	for g := range out {
		out[g] = make([]float64, len(pl.Demand.Rows))
	}
	for _, u := range plan.uses {
		for k := range pl.Demand.Rows {
			if m, ok := pl.makes(u.policy, k, pl.Demand.Rows[k].Open); ok {
				out[u.policy.lot][k] += u.boards * m
			}
		}
	}
	return out
}

// byProduct is what part of its cost alone a row is worth at least. It is less
// than planning is exact, and enough to be cut from what would be waste.
const byProduct = 1e-3

func down(r *big.Rat) float64 {
	if r == nil {
		return 0
	}
	f, exact := r.Float64()
	if !exact {
		f = math.Nextafter(f, 0)
	}
	return f
}
