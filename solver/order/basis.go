package order

import "github.com/ripwright/ripwright/solver/unit"

// Basis is what an item's value is counted per. The search asks only the methods of this
// file. Planning also chooses one (planning/values/items.go, planning/replan/mix.go). What
// checks it states the rule independently, as for Counting.
type Basis int

// The value bases.
const (
	PerArea   Basis = iota // money per square metre of strip; the default
	PerLength              // money per metre of counted length
	PerPiece               // money per strip that has a counted run
	bases
)

// Bases is their number.
const Bases = int(bases)

// Known reports whether b is one of the bases.
func (b Basis) Known() bool { return b >= 0 && b < bases }

// Basis is that of a value per unit of m; without a requirement, per area.
func (m Measure) Basis() Basis {
	switch m {
	case ByLength:
		return PerLength
	case ByPieces:
		return PerPiece
	case ByArea, Unlimited:
	}
	return PerArea
}

// Worth is what a strip of a width is worth if its counted runs total length, in
// micrometres, above 0. It does not hold for crosscut items, whose strips are worth their
// pieces.
func (it *Item) Worth(width unit.Length, length int64) unit.Worth {
	return it.Sold(width, length).Add(it.Bonus)
}

// Sold is Worth without the bonus.
func (it *Item) Sold(width unit.Length, length int64) unit.Worth {
	switch it.Basis {
	case PerLength:
		return unit.WorthOf(it.Value, int64(unit.Millimetre)*1000, length)
	case PerPiece:
		return unit.WorthOf(it.Value, int64(unit.SquareMetre), 1)
	case PerArea:
		return unit.WorthOf(it.Value, int64(it.Paid(width)), length)
	case bases:
	}
	return unit.Worth{} // Faults refuses such a basis
}

// Paid is the width that a value per area pays for: for a strip of a fixed width it is
// that width, whatever the strip's own within the tolerance.
func (it *Item) Paid(width unit.Length) unit.Length {
	if it.Random {
		return width
	}
	return it.Min
}

// ByRun reports whether Sold is in proportion to the length; otherwise it is the same for
// any length.
func (it *Item) ByRun() bool { return it.Basis != PerPiece }

// ByPaid reports whether Sold is in proportion to the width that is Paid.
func (it *Item) ByPaid() bool { return it.Basis == PerArea }

// Slope is how much more a strip of a length is worth if it is wider by width, if
// ByWidth.
func (it *Item) Slope(width unit.Length, length int64) unit.Worth {
	return unit.WorthOf(it.Value, int64(width), length)
}

// ByWidth reports whether a wider strip of the same length is worth more, by the same
// amount from each width to the next. It does not hold for crosscut items.
func (it *Item) ByWidth() bool { return it.Random && it.ByPaid() }
