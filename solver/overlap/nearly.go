package overlap

import (
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// Nearly reports whether what is open of an order, as strips side by side, covers at most
// a number of millionths of a board's face. It is false if any item has no limit.
func Nearly(items []order.Item, b *wood.Board, millionths int64) bool {
	left := float64(b.Face()) * float64(millionths) / 1e6
	for i := range items {
		open, limited := area(&items[i], b.Length)
		if left -= open; left < 0 || !limited {
			return false
		}
	}
	return true
}

// area is what is open of an item, in unit.Area, on boards of a length.
func area(it *order.Item, long unit.Length) (a float64, limited bool) {
	if it.Full() {
		return 0, true
	}
	open, _ := it.Open()
	wide := float64(it.Min+it.Max) / 2
	by := 0.0 // all lengths of it
	all := len(it.Cuts) > 0
	for i := range it.Cuts {
		c := &it.Cuts[i]
		all = all && c.Limited
		by += float64(max(c.Required-c.Made, 0)) * float64(c.Length/unit.Micrometre)
	}
	whole := 0.0
	switch it.Measure {
	case order.ByLength:
		whole = float64(open) * wide
	case order.ByArea:
		whole = float64(open) * float64(unit.Micrometre)
	case order.ByPieces:
		each := it.PieceLength
		if each == 0 { // a strip is a piece
			each = long
		}
		whole = float64(open) * float64(each/unit.Micrometre) * wide
	case order.Unlimited:
		return by * wide, all
	}
	if all {
		return min(whole, by*wide), true
	}
	return whole, true
}
