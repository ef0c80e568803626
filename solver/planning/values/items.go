package values

import (
	"math"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/demand"
	"github.com/ripwright/ripwright/solver/saw"
)

// ItemValue is what a line is to value an item by.
type ItemValue struct {
	Value int64 // millionths of money per Basis; 0 for an item with lengths
	Basis order.Basis
	Cuts  []int64 // millionths of money for a piece of each crosscut length
	// Planned says that the plan has a value for the item or for a length of it,
	// even where a rule keeps the order's own.
	Planned bool
	// Cost is what a metre, square metre or piece of the item takes of lumber, in
	// units of the objective; 0 for an item with lengths.
	Cost float64
}

// Rule treats an item otherwise than its plan would.
type Rule struct {
	Keep  bool    // its value stays the order's own
	Times float64 // else the planned value is multiplied by this; 0: by 1
}

// dearest is what the dearest item is worth where the order values none itself.
const dearest = 1000.0

// MostTimes is the most that a rule may multiply a value by.
const MostTimes = 100

// ForItems says what a plan's values make of each item, and what lumber of cost 1
// is worth at them. They are scaled so that the open order is worth what it is by
// its own values, and both can stand side by side; where it is worth nothing, so
// that the dearest item is worth dearest. No value is so great that MostTimes it
// could not be sent. Rules are by the item's ID.
func (pl *Planner) ForItems(plan *Plan, rules map[string]Rule) (items []ItemValue, perCost float64) {
	perCost = pl.scale(plan)
	items = make([]ItemValue, len(pl.Demand.Items))
	for i := range items {
		it, v := &pl.Demand.Items[i], &items[i]
		v.Value, v.Basis = it.Value, it.Basis
		for c := range it.Cuts {
			v.Cuts = append(v.Cuts, it.Cuts[c].Value)
		}
	}
	for k := range pl.Demand.Rows {
		r := &pl.Demand.Rows[k]
		it, v := &pl.Demand.Items[r.Item], &items[r.Item]
		if plan.ToCut[k] == 0 {
			continue
		}
		v.Planned = true
		if r.Cut == demand.Whole {
			v.Cost = plan.Values[k]
		}
		rule := rules[it.ID]
		if rule.Keep {
			continue
		}
		if rule.Times == 0 {
			rule.Times = 1
		}
		value := int64(math.Round(rate(it, r, plan.ToCut[k]) * perCost * rule.Times * 1e6))
		if r.Cut == demand.Whole {
			v.Value, v.Basis = value, basis(it, r)
		} else {
			v.Cuts[r.Cut] = value
		}
	}
	return items, perCost
}

// scale is what a unit of cost is worth in money.
func (pl *Planner) scale(plan *Plan) float64 {
	own, planned, top := 0.0, 0.0, 0.0
	for k := range pl.Demand.Rows {
		r := &pl.Demand.Rows[k]
		if plan.ToCut[k] == 0 {
			continue
		}
		it := &pl.Demand.Items[r.Item]
		top = math.Max(top, rate(it, r, plan.ToCut[k]))
		if plan.Values[k] > 0 {
			own += ownValue(it, r) * r.Units(r.Open)
			planned += plan.Values[k] * r.Units(r.Open)
		}
	}
	if top == 0 {
		return 0
	}
	scale := dearest / top
	if pl.p.Objective == Cost {
		scale = 1 // lumber costs money already
	}
	if own > 0 {
		scale = own / planned
	}
	return math.Min(scale, float64(saw.MaxValue)/1e6/MostTimes/top)
}

// rate turns a value per unit of a row into one per what basis gives.
func rate(it *order.Item, r *demand.Row, v float64) float64 {
	if r.Cut == demand.Whole && r.Measure == order.ByPieces && it.PieceLength > 0 {
		return v / (it.PieceLength.MM() / 1000)
	}
	return v
}

// basis is what a value of an item without lengths is planned per.
func basis(it *order.Item, r *demand.Row) order.Basis {
	if r.Measure == order.ByPieces && it.PieceLength > 0 {
		return order.PerLength
	}
	return r.Measure.Basis()
}

// ownValue is the order's own value of a unit of a row, 0 where it cannot be told
// without knowing the strips.
func ownValue(it *order.Item, r *demand.Row) float64 {
	const metre = 1_000_000 // micrometres
	switch {
	case r.Cut != demand.Whole:
		return float64(it.Cuts[r.Cut].Value) / 1e6
	case it.Basis == r.Measure.Basis() && (r.Measure != order.ByPieces || it.PieceLength == 0):
		return float64(it.Value) / 1e6
	case r.Measure == order.ByLength && it.ByRun():
		return it.Worth(it.Min, metre).Money()
	case r.Measure == order.ByPieces && it.PieceLength > 0 && it.ByRun():
		return it.Worth(it.Min, int64(it.PieceLength)/1000).Money()
	}
	return 0
}
