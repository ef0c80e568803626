package replan

import (
	"maps"
	"math"
	"slices"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// The values of a plan give the worth of its best mix of board plans, not the frequency
// of each: at these values several plans of a board are often worth the same, most of all
// if boards come in few kinds. Cut by values alone, all boards of a kind would get the
// same of these plans until the next planning, and an item would be overrun. So values
// are held to the mix: an item of which a larger fraction is left than of the whole order
// is worth a little more, one of which less is left a little less. Among equally valuable
// plans the choice then follows the mix, and what is clearly worth less is cut no
// earlier.
//
// The exponent was tried on invented orders, see RESULTS.md; the limits keep an item's
// last strips from becoming worthless.
const (
	mixPower = 0.3
	mixLeast = 0.5
	mixMost  = 2.0
	// mixSteps is the number of steps per unit of the natural logarithm in which they are
	// held: so most values stay the same from one board to the next.
	mixSteps = 200.0
)

// Price gives items their worth for a board: the values in force, held to the mix of
// their plan by what is open, and for pieces of a length by how many of them fit the
// board's length. Without values in force they keep their own.
func (c *Course) Price(items []order.Item, b *wood.Board) {
	if c.Force != nil {
		price(byItem(c.Force.Items), items, b)
	}
}

// PriceFree is Price for items in another state: one that is open there, but was filled
// when the values in force were planned, gets the value that was last planned for it.
func (c *Course) PriceFree(items []order.Item, b *wood.Board) {
	if c.Force == nil {
		return
	}
	planned := byItem(c.Left)
	if maps.Copy(planned, byItem(c.Force.Items)); len(c.Force.Free) > 0 {
		maps.Copy(planned, byItem(c.Force.Free))
	}
	price(planned, items, b)
}

func price(planned map[string]*Value, items []order.Item, b *wood.Board) {
	apply(planned, items)
	mix(planned, items)
	fit(planned, items, b)
}

// fit values pieces of a length by how many fit a board.
func fit(planned map[string]*Value, items []order.Item, b *wood.Board) {
	for i := range items {
		it := &items[i]
		if planned[it.ID] == nil || it.Measure != order.ByPieces || it.PieceLength == 0 || it.Basis != order.PerLength {
			continue
		}
		// A value per length would count the rest of a strip that is too short for a piece.
		length := int64(b.Length)
		pieces := length / int64(it.PieceLength)
		it.Value = unit.MulDiv(it.Value, pieces*int64(it.PieceLength), length)
	}
}

// held is an amount whose value is held to the mix.
type held struct {
	value     *int64
	worth     float64 // of one unit
	now, then int64   // open now, and when the values were planned
}

// mix holds values to the mix of their plan.
func mix(planned map[string]*Value, items []order.Item) {
	var all []held
	for i := range items {
		it := &items[i]
		v := planned[it.ID]
		if v == nil {
			continue
		}
		if open, limited := it.Open(); limited && v.Open > 0 && it.Basis == v.Basis {
			all = append(all, held{&it.Value, float64(it.Value) * perUnit(it), open, v.Open})
		}
		for k := range it.Cuts {
			cut := &it.Cuts[k]
			open, limited := cut.Open()
			at := slices.IndexFunc(v.Cuts, func(v CutValue) bool { return v.Length == cut.Length })
			if limited && at >= 0 && v.Cuts[at].Open > 0 {
				all = append(all, held{&cut.Value, float64(cut.Value), open, v.Cuts[at].Open})
			}
		}
	}
	now, then := 0.0, 0.0
	for _, h := range all {
		now += h.worth * float64(h.now)
		then += h.worth * float64(h.then)
	}
	if now <= 0 || then <= 0 {
		return
	}
	for _, h := range all {
		part := float64(h.now) / float64(h.then) / (now / then)
		times := math.Exp(math.Round(math.Log(part)*mixPower*mixSteps) / mixSteps)
		times = min(max(times, mixLeast), mixMost)
		*h.value = min(int64(math.Round(float64(*h.value)*times)), saw.MaxValue)
	}
}

// perUnit is how many of the units of an item's value are in a unit of its amount, up to
// a factor shared by all items: metres in a micrometre, square metres in a square
// micrometre, or the content of a piece.
func perUnit(it *order.Item) float64 {
	switch {
	case it.Measure == order.ByLength && it.Basis == order.PerLength:
		return 1e-6
	case it.Measure == order.ByArea && it.Basis == order.PerArea:
		return 1e-12
	case it.Measure == order.ByPieces && it.Basis == order.PerLength:
		return it.PieceLength.MM() / 1000
	}
	return 1
}
