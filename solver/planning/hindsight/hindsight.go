// Package hindsight works out how few of the boards that came could have filled an
// order, had anyone known them beforehand: what ways to value strips are measured
// against.
package hindsight

import (
	"errors"

	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/planning/values"
)

// gap is how near each programme comes to its bound. What it leaves open is counted
// as if it could be had.
const gap = 5e-4

// ErrTooFew is the error where all boards together cannot fill the order.
var ErrTooFew = errors.New("hindsight: these boards do not fill the order")

// Least gives the least n of which the first n boards can fill what is open of the
// order, boards taken by parts and strips overrunning: it is proven that fewer
// cannot. It goes by the columns of package values, over all of the boards at once.
// The problem's own lots and objective, and what it says of setting boards aside, do
// not matter. each runs jobs as
// values.Options.Each does; nil: one after the other.
func Least(p *values.Problem, boards []lumber.Kind, each func(n int, f func(i int))) (int, error) {
	own := *p
	own.Objective, own.Lost = values.Boards, values.Everything // no board is passed over
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

// next is how many boards to try between lo and hi: as many as the last ones say
// that it takes, or, where that is known already, a little off the end that it lies
// beyond.
func next(lo, hi, guess int) int {
	switch {
	case guess > lo && guess < hi:
		return guess
	case guess <= lo:
		return min(lo+max((hi-lo)/8, 1), hi-1)
	}
	return max(hi-max((hi-lo)/200, 1), lo+1)
}
