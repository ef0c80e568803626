package wire

import (
	"math"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/order"
)

// Amounts are whole micrometres, square micrometres or pieces.
const (
	micrometres       = 1e6
	squareMicrometres = 1e12
	mostLength        = 1e12 // m
	mostArea          = 1e6  // m2
)

// Item is an item of the order with what the solver has no use for.
type Item struct {
	Stack string
	// Count is what the item is counted in, also where there is no limit.
	Count order.Measure
}

func (r *reader) order(o *ripwrightv1.CutOrder) ([]order.Item, []Item) {
	p := at(nil, "order")
	if o == nil {
		r.faults.Add("order", "is missing; a cut order is needed")
		return nil, nil
	}
	r.id(&p, "order_id", o.GetOrderId())
	n := len(o.GetItems())
	if n > order.MaxItems {
		r.faults.Add("order.items", "has %d entries; at most %d are taken", n, order.MaxItems)
		return nil, nil
	}
	items, more := make([]order.Item, n), make([]Item, n)
	for i, m := range o.GetItems() {
		q := nth(&p, "items", i)
		items[i], more[i] = r.item(&q, m)
	}
	return items, more
}

func (r *reader) item(p *place, m *ripwrightv1.Item) (order.Item, Item) {
	r.id(p, "item_id", m.GetItemId())
	r.id(p, "stack", m.GetStack())
	it := order.Item{
		ID:             m.GetItemId(),
		Value:          r.whole(p, "value", m.GetValue(), millionths, mostValue),
		PieceLength:    r.mm(p, "piece_length_mm", m.GetPieceLengthMm()),
		LeastLength:    r.mm(p, "least_length_mm", m.GetLeastLengthMm()),
		GreatestLength: r.mm(p, "greatest_length_mm", m.GetGreatestLengthMm()),
		Tolerance:      r.mm(p, "tolerance_mm", m.GetToleranceMm()),
	}
	switch w := m.GetWidth().(type) {
	case *ripwrightv1.Item_WidthMm:
		it.Min = r.mm(p, "width_mm", w.WidthMm)
		it.Max = it.Min
	case *ripwrightv1.Item_Range:
		q := at(p, "range")
		it.Random = true
		it.Min = r.mm(&q, "min_mm", w.Range.GetMinMm())
		it.Max = r.mm(&q, "max_mm", w.Range.GetMaxMm())
		if it.Tolerance != 0 {
			r.faults.Add(p.path("tolerance_mm"), "is %g; must be 0 for a range, which says itself how far it goes", m.GetToleranceMm())
		}
	default:
		r.faults.Add(p.path("width_mm"), "is missing; set width_mm or range")
	}
	switch v := m.GetValuePer(); v {
	case ripwrightv1.ValuePer_VALUE_PER_UNSPECIFIED, ripwrightv1.ValuePer_VALUE_PER_AREA:
		it.Basis = order.PerArea
	case ripwrightv1.ValuePer_VALUE_PER_LENGTH:
		it.Basis = order.PerLength
	case ripwrightv1.ValuePer_VALUE_PER_PIECE:
		it.Basis = order.PerPiece
	default:
		r.faults.Add(p.path("value_per"), "is %d; must be VALUE_PER_AREA, VALUE_PER_LENGTH or VALUE_PER_PIECE", v)
	}
	more := Item{Stack: m.GetStack(), Count: r.amounts(p, m, &it)}
	return it, more
}

// amounts reads what is required and made, and tells what the item is counted in.
func (r *reader) amounts(p *place, m *ripwrightv1.Item, it *order.Item) order.Measure {
	count := order.ByLength
	if it.Random {
		count = order.ByArea
	}
	it.Measure = order.Unlimited
	if m.Required != nil {
		it.Measure, it.Required = r.amount(p, "required", it.Random, m.GetRequired())
		count = it.Measure
	}
	if m.Made != nil {
		measure, made := r.amount(p, "made", it.Random, m.GetMade())
		switch {
		case m.Required == nil:
			count = measure
		case measure != it.Measure && measure != order.Unlimited && it.Measure != order.Unlimited:
			r.faults.Add(p.path("made"), "is in %s; must be in %s, as required is", units[measure], units[it.Measure])
		}
		it.Made = made
	}
	if it.PieceLength != 0 && count != order.ByPieces {
		r.faults.Add(p.path("piece_length_mm"), "is %g; must be 0 unless required or made is in pieces", m.GetPieceLengthMm())
	}
	return count
}

var units = map[order.Measure]string{order.ByLength: "length_m", order.ByArea: "area_m2", order.ByPieces: "pieces"}

// amount gives order.Unlimited where it added a fault about the unit.
func (r *reader) amount(p *place, name string, random bool, m *ripwrightv1.Amount) (order.Measure, int64) {
	q := at(p, name)
	switch a := m.GetAmount().(type) {
	case *ripwrightv1.Amount_LengthM:
		if random {
			r.faults.Add(q.path("length_m"), "is set for a range; a range is counted in area_m2 or pieces")
			return order.Unlimited, 0
		}
		return order.ByLength, r.whole(&q, "length_m", a.LengthM, micrometres, mostLength)
	case *ripwrightv1.Amount_AreaM2:
		if !random {
			r.faults.Add(q.path("area_m2"), "is set for a fixed width; a width is counted in length_m or pieces")
			return order.Unlimited, 0
		}
		return order.ByArea, r.whole(&q, "area_m2", a.AreaM2, squareMicrometres, mostArea)
	case *ripwrightv1.Amount_Pieces:
		return order.ByPieces, r.whole(&q, "pieces", float64(a.Pieces), 1, math.MaxInt32)
	}
	r.faults.Add(q.path(""), "is empty; set length_m, area_m2 or pieces")
	return order.Unlimited, 0
}
