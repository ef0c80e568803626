package values

import (
	"math/big"
	"slices"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/demand"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// areaBound bounds the cost of filling open from below without a search: what is wanted
// has an area, no board gives more than its face, and none costs less per area than the
// cheapest. Impossible rows do not count. The arithmetic is exact.
func (pl *Planner) areaBound(open []int64, impossible []int) *big.Rat {
	area := new(big.Int) // nm2
	for k, amount := range open {
		if amount > 0 && !slices.Contains(impossible, k) {
			each := pl.leastFace(k)
			area.Add(area, each.Mul(each, big.NewInt(amount)))
		}
	}
	bound := new(big.Rat).SetInt(area)
	return bound.Mul(bound, pl.cheapest)
}

// cheapestFace is what a square nanometre of face costs at least, in units of the
// objective.
func (pl *Planner) cheapestFace() *big.Rat {
	var least *big.Rat
	offer := func(cost, face *big.Int) {
		if face.Sign() == 0 {
			return // a lot without boards
		}
		if rate := new(big.Rat).SetFrac(cost, face); least == nil || rate.Cmp(least) < 0 {
			least = rate
		}
	}
	for g := range pl.p.Lots {
		if pl.p.again(g) {
			continue
		}
		cost, face := new(big.Int), new(big.Int)
		for t, k := range pl.p.Lots[g].Kinds {
			c, f := big.NewInt(pl.cost[g][t]), big.NewInt(int64(faceAbove(&k.Board)))
			if pl.p.Lost < Everything { // the dearer ones may be set aside
				offer(c, f)
				continue
			}
			count := big.NewInt(k.Count)
			cost.Add(cost, c.Mul(c, count))
			face.Add(face, f.Mul(f, count))
		}
		if pl.p.Lost >= Everything {
			offer(cost, face)
		}
	}
	if least == nil {
		return new(big.Rat)
	}
	// From millionths for a unit.Area, which is a thousand square nanometres.
	return least.Mul(least, big.NewRat(1, 1_000_000*1000))
}

// faceAbove is a board's face with every stretch rounded up: wood.Board.Face rounds down,
// and strips may have more than that.
func faceAbove(b *wood.Board) (face unit.Area) {
	b.Stretches(func(dx, n0, n1, f0, f1 unit.Length) {
		face += unit.Area(unit.MulDivCeil(int64(dx), int64(f0-n0+f1-n1), 2*int64(unit.Micrometre)))
	})
	return face
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
	width, long := pl.least(k)
	r, w := &pl.Demand.Rows[k], width.MM()/1000
	switch {
	case r.Cut == demand.Whole && r.Measure == order.ByArea:
		return 1
	case r.Cut == demand.Whole && r.Measure == order.ByLength:
		return w
	}
	return w * long.MM() / 1000
}

// leastFace is the least face in nm2 for a micrometre, square micrometre or piece of a
// row.
func (pl *Planner) leastFace(k int) *big.Int {
	width, long := pl.least(k)
	face := big.NewInt(int64(width))
	return face.Mul(face, big.NewInt(int64(long)))
}

// least gives the width and the length of that face.
func (pl *Planner) least(k int) (width, long unit.Length) {
	r := &pl.Demand.Rows[k]
	it := &pl.Demand.Items[r.Item]
	width = it.Min
	if !it.Random {
		width = max(width-pl.off(it), 0)
	}
	switch {
	case r.Cut != demand.Whole:
		return width, it.Cuts[r.Cut].Length
	case r.Measure == order.ByArea:
		return unit.Micrometre, unit.Micrometre
	case r.Measure == order.ByLength:
		return width, unit.Micrometre
	case it.PieceLength > 0:
		return width, it.PieceLength
	}
	return width, max(it.LeastLength, pl.shortest)
}

// shortestStrip is the least length of a strip: that of the shortest board if all boards
// are rectangular, faultless and fed straight, otherwise 0 (not known). The corners of a
// rectangle that lies askew give strips of any length.
func (pl *Planner) shortestStrip() unit.Length {
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
