package order

import "github.com/ripwright/ripwright/solver/unit"

// Basis is what an item's value is counted per. What depends on it stands in this file
// alone: whoever else needs to know asks by one of its methods. What checks it states
// the rule by itself, as of Counting.
type Basis int

// The value bases.
const (
	PerArea   Basis = iota // money per square metre of strip; the default
	PerLength              // money per metre of counted length
	PerPiece               // money per strip that has a counted run
	bases
)

// Known reports whether b is one of the bases.
func (b Basis) Known() bool { return b >= 0 && b < bases }

// Basis is that of a value per what m counts; without a requirement, per area.
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

// Worth is what a strip of a width is worth whose counted runs come to so much
// length, in micrometres, some of it at least; not of an item that is crosscut, whose
// strips are worth their pieces.
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
	case PerArea, bases:
	}
	return unit.WorthOf(it.Value, int64(it.Paid(width)), length)
}

// Paid is the width that a value per area pays for: a strip of a fixed width is paid
// by that width, whatever its own within the tolerance.
func (it *Item) Paid(width unit.Length) unit.Length {
	if it.Random {
		return width
	}
	return it.Min
}

// ByRun reports whether Sold is in proportion to the length; else it is the same for
// any.
func (it *Item) ByRun() bool { return it.Basis != PerPiece }

// Slope is what a strip of such a length is worth more for so much more of width, where
// ByWidth.
func (it *Item) Slope(width unit.Length, length int64) unit.Worth {
	return unit.WorthOf(it.Value, int64(width), length)
}

// ByWidth reports whether a wider strip of the same length is worth more, by the same
// amount from each width to the next; not of an item that is crosscut.
func (it *Item) ByWidth() bool { return it.Random && it.Basis == PerArea }
