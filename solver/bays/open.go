package bays

import (
	"math/big"
	"slices"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/unit"
)

// Wants gives the stacks that items go to and their state, in the order of the items.
// stacks are those of the items; the first own items are of the order in force, the
// others of the next one. forced are the indices of items that the operator forces, and
// length is the board's.
func Wants(items []order.Item, stacks []Stack, own int, forced []int, length unit.Length) []Want {
	at := make(map[Stack]int, len(items))
	var all []Want
	for i := range items {
		it, s := &items[i], stacks[i]
		k, known := at[s]
		if !known {
			k, at[s] = len(all), len(all)
			all = append(all, Want{Stack: s, Full: true, Open: new(big.Int)})
		}
		w := &all[k]
		w.Forced = w.Forced || slices.Contains(forced, i)
		if it.Full() {
			continue
		}
		w.Later = i >= own && (w.Full || w.Later)
		w.Full = false
		if !limited(it) {
			w.Endless = true
			continue
		}
		w.Open.Add(w.Open, open(it, length))
	}
	return all
}

// Ends reports whether an order of these items can be filled.
func Ends(items []order.Item) bool {
	return !slices.ContainsFunc(items, func(it order.Item) bool { return !limited(&it) })
}

// limited reports whether an item can be filled.
func limited(it *order.Item) bool {
	if len(it.Cuts) > 0 && it.Measure == order.Unlimited {
		return !slices.ContainsFunc(it.Cuts, func(c order.Cut) bool { return !c.Limited })
	}
	return it.Measure != order.Unlimited
}

// open is the open area of strips of a limited item, in unit.Area. For a range it takes
// the middle width, and for strips without a length that of the board.
func open(it *order.Item, board unit.Length) *big.Int {
	width, length := (it.Min+it.Max)/2, new(big.Int) // in micrometres
	times := func(pieces int64, each unit.Length) *big.Int {
		p := big.NewInt(pieces)
		return p.Mul(p, big.NewInt(int64(each/unit.Micrometre)))
	}
	amount, _ := it.Open()
	switch {
	case len(it.Cuts) > 0:
		for i := range it.Cuts {
			pieces, _ := it.Cuts[i].Open()
			length.Add(length, times(pieces, it.Cuts[i].Length))
		}
	case it.Measure == order.ByArea:
		length.Mul(big.NewInt(amount), big.NewInt(int64(unit.Micrometre)))
		length.Quo(length, big.NewInt(int64(max(it.Counting().Net(width), 1))))
	case it.Measure == order.ByPieces && it.PieceLength > 0:
		length = times(amount, it.PieceLength)
	case it.Measure == order.ByPieces:
		length = times(amount, board)
	default:
		length.SetInt64(amount)
	}
	return length.Mul(length, big.NewInt(int64(width)))
}
