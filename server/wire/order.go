package wire

import (
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/order"
)

// Item is the part of an item that the solver does not use.
type Item struct {
	Stack string
	// Count is the unit of the item, even without a limit.
	Count order.Measure
}

func (r *reader) order(o *ripwrightv1.CutOrder) ([]order.Item, []Item) {
	p := at(nil, "order")
	if o == nil {
		r.faults.Because(fault.Missing, "order", "is missing; a cut order is needed")
		return nil, nil
	}
	r.text(&p, "order_id", o.GetOrderId(), ids)
	n := len(o.GetItems())
	if !r.entries(&p, "items", n, items) {
		return nil, nil
	}
	out, more := make([]order.Item, n), make([]Item, n)
	for i, m := range o.GetItems() {
		q := nth(&p, "items", i)
		out[i], more[i] = r.item(&q, m)
	}
	return out, more
}

func (r *reader) item(p *place, m *ripwrightv1.Item) (order.Item, Item) {
	r.text(p, "item_id", m.GetItemId(), ownIDs)
	r.text(p, "stack", m.GetStack(), ids)
	it := order.Item{
		ID:             m.GetItemId(),
		Value:          r.whole(p, "value", m.GetValue(), millionths, value),
		PieceLength:    r.maybeMM(p, "piece_length_mm", m.PieceLengthMm, pieceLength),
		LeastLength:    r.mm(p, "min_length_mm", m.GetMinLengthMm(), runLength),
		GreatestLength: r.maybeMM(p, "max_length_mm", m.MaxLengthMm, pieceLength),
		Due:            int64(r.count(p, "due_boards", m.DueBoards, 0, dueBoards)),
		Tolerance:      r.mm(p, "tolerance_mm", m.GetToleranceMm(), tolerance),
	}
	random := false
	switch w := m.GetWidth().(type) {
	case *ripwrightv1.Item_WidthMm:
		it.Min = r.mm(p, "width_mm", w.WidthMm, stripWidth)
		it.Max = it.Min
	case *ripwrightv1.Item_Range:
		q := at(p, "range")
		it.Random, random = true, true
		it.Min = r.mm(&q, "min_mm", w.Range.GetMinMm(), stripWidth)
		it.Max = r.mm(&q, "max_mm", w.Range.GetMaxMm(), stripWidth)
		if it.Tolerance != 0 {
			r.faults.Add(p.path("tolerance_mm"), "is %g; must be 0 for a range", m.GetToleranceMm())
		}
	default:
		r.faults.Because(fault.Missing, p.path("width_mm"), "is missing; set width_mm or range")
		// The unit shows which of the two was meant.
		random = inArea(m.GetRequired()) || inArea(m.GetMade())
	}
	it.Basis = r.basis(p, m.GetValuePer())
	r.accepts(p, m, &it)
	r.crosscut(p, m.GetCrosscut(), &it)
	if pl := m.GetPanel(); pl != nil {
		q := at(p, "panel")
		it.Panel = r.mm(&q, "width_mm", pl.GetWidthMm(), panelWidth)
		it.Joint = r.mm(&q, "joint_allowance_mm", pl.GetJointAllowanceMm(), joint)
	}
	more := Item{Stack: m.GetStack(), Count: r.amounts(p, m, random, &it)}
	return it, more
}

func inArea(m *ripwrightv1.Amount) bool {
	_, ok := m.GetAmount().(*ripwrightv1.Amount_AreaM2)
	return ok
}

// amounts reads what is required and made, and gives the item's unit.
func (r *reader) amounts(p *place, m *ripwrightv1.Item, random bool, it *order.Item) order.Measure {
	count := order.ByLength
	if random {
		count = order.ByArea
	}
	it.Measure = order.Unlimited
	if m.Required != nil {
		it.Measure, it.Required = r.amount(p, "required", random, m.GetRequired())
		count = it.Measure
	}
	if m.Made != nil {
		measure, made := r.amount(p, "made", random, m.GetMade())
		switch {
		case m.Required == nil:
			count = measure
		case measure != it.Measure && measure != order.Unlimited && it.Measure != order.Unlimited:
			r.faults.Add(p.path("made"), "is in %s; must be in %s, as required is", units[measure], units[it.Measure])
		}
		it.Made = made
	}
	if it.PieceLength != 0 && count != order.ByPieces && count != order.Unlimited {
		r.faults.Add(p.path("piece_length_mm"), "is %g; must be absent unless required or made is in pieces", m.GetPieceLengthMm())
	}
	return count
}

var units = map[order.Measure]string{order.Unlimited: "", order.ByLength: "length_m", order.ByArea: "area_m2", order.ByPieces: "pieces"}

// amount gives order.Unlimited after adding a fault about the unit.
func (r *reader) amount(p *place, name string, random bool, m *ripwrightv1.Amount) (order.Measure, int64) {
	q := at(p, name)
	switch a := m.GetAmount().(type) {
	case *ripwrightv1.Amount_LengthM:
		if random {
			r.faults.Add(q.path("length_m"), "is set for a range; a range is counted in area_m2 or pieces")
			return order.Unlimited, 0
		}
		return order.ByLength, r.whole(&q, "length_m", a.LengthM, micrometres, lengthM)
	case *ripwrightv1.Amount_AreaM2:
		if !random {
			r.faults.Add(q.path("area_m2"), "is set for a fixed width; a width is counted in length_m or pieces")
			return order.Unlimited, 0
		}
		return order.ByArea, r.whole(&q, "area_m2", a.AreaM2, squareMicrometres, areaM2)
	case *ripwrightv1.Amount_Pieces:
		return order.ByPieces, r.whole(&q, "pieces", float64(a.Pieces), 1, pieces)
	}
	r.faults.Because(fault.Missing, q.path(""), "is empty; set length_m, area_m2 or pieces")
	return order.Unlimited, 0
}
