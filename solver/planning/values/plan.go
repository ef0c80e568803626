package values

import (
	"math"
	"math/big"
	"slices"
)

// Plan is the result of a search.
type Plan struct {
	// Values of each row per metre, square metre or piece, in units of the objective,
	// scaled so that the boards are together worth what they cost.
	Values []float64
	// ToCut is Values with a small value for each open row that has none: a row that is
	// only a by-product of others must still be cut.
	ToCut []float64
	// Cost is the cost of filling the order by the known policies in fractions of boards;
	// Bound is a lower bound on any way to fill it. Both in units of the objective.
	Cost, Bound float64
	// ExactBound is Bound before rounding.
	ExactBound *big.Rat
	// Proven says that Cost and Bound agree within Options.Gap. The bound is exact, the cost
	// a sum of floats.
	Proven bool
	// Stopped says that Options.Stop or Options.Rounds ended the search.
	Stopped bool
	// Impossible lists the rows of which no board gives anything. They are left out of
	// everything else.
	Impossible []int
	// Short says that the limited lots have too few boards: Boards exceeds them, and Cost
	// is not valid.
	Short bool
	// Late lists the rows whose due cannot be kept, by due.
	Late []Late
	// Boards of each lot, in fractions.
	Boards []float64
	// Aside says for each kind of each lot whether the values set it aside.
	Aside [][]bool
	// Rounds is the number of times all boards were priced.
	Rounds int

	uses []use
	open []int64 // for which it was planned
}

// Late is a row whose due cannot be kept.
type Late struct {
	Row int
	// Least is the smallest number of boards within which it can be filled if what is due
	// before it comes first; counted like its due. With Options.Found it is by plans found
	// soon; if planning was stopped, that in which the plan fills it.
	Least int64
}

// use of a policy in the cheapest plan.
type use struct {
	policy *policy
	boards float64
}

// Plan finds values for what is open. It returns an error if the library for linear
// programmes fails, or a search, other than by refusing a board.
//
// If rows have dues, the order is cut in terms: one up to each due, and one after the
// last. What is due by the end of a term is made in that term or earlier, no term is
// longer than its boards, and the cost is the least under these conditions. Values are
// those of the first term.
func (pl *Planner) Plan(open []int64, o Options) (*Plan, error) {
	plan := &Plan{Values: make([]float64, len(open)), Boards: make([]float64, len(pl.p.Lots)), open: slices.Clone(open)}
	if o.Rounds == 0 {
		o.Rounds = DefaultRounds
	}
	s := &search{pl: pl, o: &o, open: open, plan: plan}
	if s.start() && len(s.rows) > 0 {
		var whole bool
		var err error
		switch s.terms, whole, err = pl.dues(s); {
		case err != nil:
		case whole:
			err = s.run()
		default:
			s.stoppedEarly()
		}
		if err != nil && pl.failed.Load() == nil {
			return nil, err
		}
		plan.Stopped = plan.Stopped || !whole
	}
	if err := pl.failed.Load(); err != nil {
		return nil, *err
	}
	if area := pl.areaBound(open, plan.Impossible); plan.ExactBound == nil || plan.ExactBound.Cmp(area) < 0 {
		plan.ExactBound = area
	}
	plan.Bound, plan.Cost = down(plan.ExactBound), s.cost
	plan.ToCut = slices.Clone(plan.Values)
	perFace := pl.perFace(pl.byFace[0])
	for _, k := range s.rows {
		plan.ToCut[k] = max(plan.ToCut[k], byProduct*pl.area(k)*perFace)
	}
	return plan, nil
}

// Makes is what the cheapest plan makes of each row from each lot's boards, in units of
// the row: by lot, then by row. Of what is made beyond what is open each lot makes less in
// proportion.
func (pl *Planner) Makes(plan *Plan) [][]float64 {
	out := make([][]float64, len(pl.p.Lots))
	for g := range out {
		out[g] = make([]float64, len(pl.Demand.Rows))
	}
	for _, u := range plan.uses {
		for k := range pl.Demand.Rows {
			if m, ok := pl.makes(u.policy, k, plan.open[k]); ok {
				out[u.policy.lot][k] += u.boards * m
			}
		}
	}
	for k := range pl.Demand.Rows {
		total, open := 0.0, pl.Demand.Rows[k].Units(max(plan.open[k], 0))
		for g := range out {
			total += out[g][k]
		}
		for g := range out {
			if total > open {
				out[g][k] *= open / total
			}
		}
	}
	return out
}

// byProduct is the least value of a row, as a fraction of what its area costs. It is below
// the precision of planning, but enough for the row to be cut from what would be waste.
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
