package values

import (
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/demand"
)

// Rare gives rows of which no board of the sample makes anything a value to cut by: the
// next board may give some, since the boards are only a sample. They are valued as if one
// more board had been seen and had given one strip of it: the cost of all boards over
// that strip. If the rows really are impossible, the value does no harm.
func (pl *Planner) Rare(plan *Plan) {
	var cost, length float64
	boards := int64(0)
	for g := range pl.p.Lots {
		for t, k := range pl.p.Lots[g].Kinds {
			cost += float64(k.Count) * float64(pl.cost[g][t]) / 1e6
			length += float64(k.Count) * k.Board.Length.MM() / 1000
			boards += k.Count
		}
	}
	mean := length / float64(boards)
	cost *= 1 + 1/float64(boards)
	for _, k := range plan.Impossible {
		r := &pl.Demand.Rows[k]
		plan.ToCut[k] = cost / strip(&pl.Demand.Items[r.Item], r, mean)
	}
}

// strip is roughly what one strip of that many metres gives of a row.
func strip(it *order.Item, r *demand.Row, metres float64) float64 {
	pieces := func(mm float64) float64 { return max(metres*1000/max(mm, 1), 1) }
	switch {
	case r.Cut != demand.Whole:
		return pieces(it.Cuts[r.Cut].Length.MM())
	case r.Measure == order.ByLength:
		return metres
	case r.Measure == order.ByArea:
		return metres * it.Min.MM() / 1000
	case it.PieceLength > 0:
		return pieces(it.PieceLength.MM())
	}
	return 1
}
