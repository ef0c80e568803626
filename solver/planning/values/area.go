package values

import (
	"math"
	"math/big"
	"slices"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/demand"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// areaBound bounds the cost of filling open from below without a search: what is wanted
// has an area, no board gives more than its face, and none costs less per square metre
// than the cheapest. Impossible rows do not count.
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
		if pl.p.again(g) {
			continue
		}
		if pl.p.Lost >= Everything {
			cheapest = math.Min(cheapest, pl.perFace(g))
			continue
		}
		for t, kind := range pl.p.Lots[g].Kinds { // the dearer ones may be set aside
			if f := kind.Board.Face().SquareMetres(); f > 0 {
				cheapest = math.Min(cheapest, float64(pl.cost[g][t])/1e6/f)
			}
		}
	}
	bound := area * cheapest * (1 - areaMargin)
	if !(bound > 0) || math.IsInf(bound, 0) {
		return new(big.Rat)
	}
	return new(big.Rat).SetFloat64(bound)
}

// perFace is what a square metre of a lot's boards costs.
func (pl *Planner) perFace(g int) float64 {
	cost, face := 0.0, 0.0
	for t, k := range pl.p.Lots[g].Kinds {
		cost += float64(k.Count) * float64(pl.cost[g][t]) / 1e6
		face += float64(k.Count) * k.Board.Face().SquareMetres()
	}
	return cost / face
}

// area is the least face in m2 for a metre, square metre or piece of a row.
func (pl *Planner) area(k int) float64 {
	r := &pl.Demand.Rows[k]
	it := &pl.Demand.Items[r.Item]
	width := it.Min
	if !it.Random {
		width -= pl.off(it)
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
	return w * max(it.LeastLength, pl.shortest()).MM() / 1000
}

// shortest is the least length of a strip: that of the shortest board if all boards are
// rectangular, faultless and fed straight, otherwise 0 (not known). The corners of a
// rectangle that lies askew give strips of any length.
func (pl *Planner) shortest() unit.Length {
	least := wood.MaxLength
	for g := range pl.p.Lots {
		for _, k := range pl.p.Lots[g].Kinds {
			b := &k.Board
			askew := pl.saw(g).Skew > 0 && !b.StraightNear
			if askew || len(b.Defects) > 0 || slices.ContainsFunc(b.Stations, func(s wood.Station) bool {
				return s.Near != b.Stations[0].Near || s.Far != b.Stations[0].Far
			}) {
				return 0
			}
			least = min(least, b.Length)
		}
	}
	return least
}
