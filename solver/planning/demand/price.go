package demand

import (
	"slices"

	"github.com/ripwright/ripwright/solver/order"
)

// Priced gives the items for the solver of one board: worth the rows' values, in
// millionths of money per metre, square metre or piece. Rows that are Capped are limited
// to what is open; nil: no limits. Items without a row of value are left out, since
// worthless strips only slow the search. kept maps the items returned to the order's.
func (o *Order) Priced(values, open []int64) (items []order.Item, kept []int) {
	for k := range o.Rows {
		r := &o.Rows[k]
		if values[k] <= 0 {
			continue
		}
		if n := len(kept); n == 0 || kept[n-1] != r.Item {
			items = append(items, o.bare(r.Item))
			kept = append(kept, r.Item)
		}
		it := &items[len(items)-1]
		o.price(it, r, values[k])
		if open != nil && open[k] > 0 && o.Capped(k) {
			it.Measure, it.Required = r.Measure, open[k]
		}
	}
	return items, kept
}

// Capped reports whether pricing can limit a board to what is open of row k. It cannot
// for crosscut lengths, nor for pieces of a length, which are priced as such.
func (o *Order) Capped(k int) bool {
	r := &o.Rows[k]
	return r.Cut == Whole && (r.Measure != order.ByPieces || o.Items[r.Item].PieceLength == 0)
}

// bare is an item without value, limits and lengths.
func (o *Order) bare(item int) order.Item {
	it := o.Items[item]
	it.Value, it.Measure, it.Required, it.Made, it.PieceLength = 0, order.Unlimited, 0, 0, 0
	it.Cuts = slices.Clone(it.Cuts)
	for c := range it.Cuts {
		it.Cuts[c].Value, it.Cuts[c].Limited = 0, false
	}
	return it
}

func (o *Order) price(it *order.Item, r *Row, value int64) {
	switch {
	case r.Cut != Whole:
		it.Cuts[r.Cut].Value = value
	case r.Measure == order.ByPieces && o.Items[r.Item].PieceLength > 0:
		// Pieces of a length equal crosscutting to that one length.
		it.Cuts = []order.Cut{{Length: o.Items[r.Item].PieceLength, Value: value}}
	default:
		it.Value, it.Basis = value, r.Measure.Basis()
	}
}

// Valued gives the order's items with the rows' values instead of their own and with what
// is open as their limits: what a line cuts by. Items without a requirement keep their
// own value; filled ones stay off.
func (o *Order) Valued(values, open []int64) []order.Item {
	items := slices.Clone(o.Items)
	for i := range items {
		items[i].Cuts = slices.Clone(items[i].Cuts)
	}
	for k := range o.Rows {
		r := &o.Rows[k]
		it := &items[r.Item]
		if r.Cut != Whole {
			c := &it.Cuts[r.Cut]
			c.Value = values[k]
			c.Required, c.Made = limit(c.Required, open[k])
			continue
		}
		if pieces := r.Measure == order.ByPieces && it.PieceLength > 0; pieces {
			it.Cuts = []order.Cut{{Length: it.PieceLength, Value: values[k], Limited: true, Required: max(open[k], 0)}}
			it.Value, it.Measure, it.Required, it.Made, it.PieceLength = 0, order.Unlimited, 0, 0, 0
			continue
		}
		o.price(it, r, values[k])
		it.Required, it.Made = limit(it.Required, open[k])
	}
	return items
}

// limit leaves so much open of what is required. With an allowance for scrap that is more
// than is required.
func limit(required, open int64) (int64, int64) {
	open = max(open, 0)
	required = max(required, open)
	return required, required - open
}
