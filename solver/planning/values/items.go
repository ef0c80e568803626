package values

import (
	"math"

	"github.com/ripwright/ripwright/solver/internal/published"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/demand"
	"github.com/ripwright/ripwright/solver/saw"
)

// ItemValue is the value of an item on a line.
type ItemValue struct {
	Value int64 // millionths of money per Basis; 0 for an item with lengths
	Basis order.Basis
	Cuts  []int64 // millionths of money for a piece of each crosscut length
	// Planned says that the plan has a value for the item or for one of its lengths, even
	// if a rule keeps the order's own value.
	Planned bool
	// Cost is the cost of the lumber for a metre, square metre or piece of the item, in
	// units of the objective; 0 for an item with lengths.
	Cost float64
}

// Rule changes an item's value from the planned one.
type Rule struct {
	Keep  bool    // its value stays the order's own
	Times float64 // otherwise the planned value is multiplied by this; 0: by 1
}

// dearest is the value of the dearest item if the order gives no values.
const dearest = 1000.0

// MostTimes is the greatest factor of a rule.
const MostTimes = published.MostValueRuleTimes

// ForItems gives each item's value by a plan, and what lumber of cost 1 is worth at these
// values. They are scaled so that the open order is worth what it is by its own values,
// which makes the two comparable; if that is nothing, so that the dearest item is worth
// dearest. Every value is small enough to be sent after multiplication by MostTimes.
// Rules are by item ID.
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

// scale is the worth, in money, of one unit of cost.
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
		scale = 1 // lumber already costs money
	}
	if own > 0 {
		scale = own / planned
	}
	return math.Min(scale, float64(saw.MaxValue)/1e6/MostTimes/top)
}

// rate converts a value per unit of a row to one per unit of basis.
func rate(it *order.Item, r *demand.Row, v float64) float64 {
	if r.Cut == demand.Whole && r.Measure == order.ByPieces && it.PieceLength > 0 {
		return v / (it.PieceLength.MM() / 1000)
	}
	return v
}

// basis is the basis of the planned value of an item without lengths.
func basis(it *order.Item, r *demand.Row) order.Basis {
	if r.Measure == order.ByPieces && it.PieceLength > 0 {
		return order.PerLength
	}
	return r.Measure.Basis()
}

// ownValue is the order's own value of a unit of a row; 0 if it depends on the strips.
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
