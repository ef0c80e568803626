package values

import (
	"math"
	"math/big"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/demand"
)

// areaBound is a bound on the cost of filling open that takes no search: what is
// wanted has an area, no board gives more than its face, and none costs less a square
// metre than the cheapest. Rows that are impossible count for nothing.
func (pl *Planner) areaBound(open []int64, impossible []int) *big.Rat {
	area := 0.0
	for k, amount := range open {
		area += pl.area(k) * pl.Demand.Rows[k].Units(max(amount, 0))
	}
	for _, k := range impossible {
		area -= pl.area(k) * pl.Demand.Rows[k].Units(max(open[k], 0))
	}
	cheapest := math.Inf(1)
	for g := range pl.p.Lots {
		cost, face := 0.0, 0.0
		for t, kind := range pl.p.Lots[g].Kinds {
			c, f := float64(pl.cost[g][t])/1e6, kind.Board.Face().SquareMetres()
			if pl.p.Lost < Everything && f > 0 { // the dearer ones may be set aside
				cheapest = math.Min(cheapest, c/f)
			}
			cost += float64(kind.Count) * c
			face += float64(kind.Count) * f
		}
		if pl.p.Lost >= Everything && face > 0 {
			cheapest = math.Min(cheapest, cost/face)
		}
	}
	// A millionth less than it comes to in floats, so that rounding proves nothing.
	bound := area * cheapest * (1 - 1e-6)
	if !(bound > 0) || math.IsInf(bound, 0) {
		return new(big.Rat)
	}
	return new(big.Rat).SetFloat64(bound)
}

// area is the least face that a metre, square metre or piece of a row takes, in m2.
func (pl *Planner) area(k int) float64 {
	r := &pl.Demand.Rows[k]
	it := &pl.Demand.Items[r.Item]
	width := it.Min
	if !it.Random {
		width -= it.Off(pl.p.Saw.Step)
	}
	w := math.Max(width.MM()/1000, 0)
	switch {
	case r.Cut != demand.Whole:
		return w * it.Cuts[r.Cut].Length.MM() / 1000
	case r.Measure == order.ByArea:
		return 1
	case r.Measure == order.ByLength:
		return w
	case it.PieceLength > 0:
		return w * it.PieceLength.MM() / 1000
	}
	return w * it.LeastLength.MM() / 1000 // a strip, of which only the least is known
}
