package values

import (
	"math"
	"math/big"
)

// AllowBeyond lets a board make more of a row than the order wants in all.
func AllowBeyond(pl *Planner) { pl.beyond = true }

// Proper gives the number of boards of a fractional plan if none of its boards makes more
// of a row than the order wants in all and together they fill the order; otherwise NaN.
// The order is in pieces, and each lot is one kind of board.
func Proper(pl *Planner, plan *Plan) (boards float64) {
	open := pl.Demand.Open()
	made := make([]float64, len(open))
	for _, u := range plan.uses {
		boards += u.boards
		own := make([]int64, len(open))
		if u.policy.alone >= 0 { // by-products are not counted
			own[u.policy.alone] = int64(u.policy.made[u.policy.alone])
		} else {
			pl.Demand.Made(u.policy.plan, u.policy.kept, own)
		}
		for k, n := range own {
			if n > open[k] {
				return math.NaN()
			}
			made[k] += float64(n) * u.boards
		}
	}
	for k, n := range made {
		if n < float64(open[k])*(1-1e-7) {
			return math.NaN()
		}
	}
	return boards
}

// Worked gives the steps of all board searches so far.
func Worked(pl *Planner) int64 { return pl.work.Load() }

// Corrected gives the greedy plan, and the plan by corrected values that follows from it.
func Corrected(pl *Planner, plan *Plan, o Options) (greedy, corrected *Whole, err error) {
	open := pl.Demand.Open()
	if greedy, err = pl.greedy(open, &o); err == nil {
		corrected, err = pl.corrected(greedy, plan, open, &o, correctedWork)
	}
	return greedy, corrected, err
}

// RoundUp gives the least cost of whole boards that is not below a bound, in millionths.
func RoundUp(pl *Planner, bound *big.Rat) *big.Int { return pl.roundUp(bound) }

// Split parts all rows.
func Split(pl *Planner, o *Options) (may, never []int) {
	rows := make([]int, len(pl.Demand.Rows))
	for k := range rows {
		rows[k] = k
	}
	may, never, _ = pl.split(rows, o)
	return may, never
}
