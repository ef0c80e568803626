// Package hindsight computes the fewest of the boards that came that could have filled an
// order, had they been known beforehand: the reference for methods of valuing strips.
package hindsight

import (
	"errors"

	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/planning/values"
)

// gap is the relative gap of each programme. What remains within it is counted as if it
// could be reached.
const gap = 5e-4

// ErrTooFew says that all boards together cannot fill the order.
var ErrTooFew = errors.New("hindsight: these boards do not fill the order")

// Least gives the least n such that the first n boards can fill what is open of the
// order, with fractions of boards and with overruns: fewer are proven not to be enough.
// It uses the columns of package values over all boards at once. The problem's own lots,
// objective and Lost are ignored. each runs jobs like values.Options.Each; nil: one after
// the other.
func Least(p *values.Problem, boards []lumber.Kind, each func(n int, f func(i int))) (int, error) {
	own := *p
	own.Objective, own.Lost = values.Boards, values.Everything // no board is set aside
	lo, hi := 0, len(boards)+1                                 // lo boards are too few, hi are enough
	for n := len(boards); lo+1 < hi; {
		own.Lots = []values.Lot{{ID: "came", Price: 1, Kinds: lumber.Merged(boards[:n])}}
		pl, err := values.New(&own)
		if err != nil {
			return 0, err
		}
		plan, err := pl.Plan(pl.Demand.Open(), values.Options{Each: each, Gap: gap})
		if err != nil {
			return 0, err
		}
		if plan.Bound <= float64(n) && len(plan.Impossible) == 0 {
			hi = n
		} else {
			lo = n
		}
		n = next(lo, hi, int(plan.Bound)+1)
	}
	if hi > len(boards) {
		return 0, ErrTooFew
	}
	return hi, nil
}

// next is the number of boards to try between lo and hi: the number that the last
// programme took, or, if that is not between them, a number close to the end beyond which
// it lies.
func next(lo, hi, guess int) int {
	switch {
	case guess > lo && guess < hi:
		return guess
	case guess <= lo:
		return min(lo+max((hi-lo)/8, 1), hi-1)
	}
	return max(hi-max((hi-lo)/200, 1), lo+1)
}
