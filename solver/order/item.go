// Package order models the active cut order: which widths are wanted, what they
// are worth, and how much of each is still open.
package order

import (
	"fmt"
	"slices"

	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/internal/published"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
)

// Measure is what an item's required and made amounts are counted in.
type Measure int

// The measures.
const (
	Unlimited Measure = iota // no requirement, no limit
	ByLength                 // counted length, in micrometres
	ByArea                   // real width x counted length, in square micrometres
	ByPieces                 // strips, or pieces of PieceLength
)

// Item is one width, or range of widths, that the order wants.
//
// Invariants, checked by Faults:
//  1. 0 < Min <= Max; a fixed width has Min == Max and Random false.
//  2. 0 <= Value <= saw.MaxValue, in millionths.
//  3. Required and Made are not negative.
//  4. GreatestLength is 0 (none) or at least LeastLength.
type Item struct {
	ID string
	// Min and Max bound the width. They are equal for a fixed width.
	Min, Max unit.Length
	Random   bool
	Value    int64 // millionths of money per Basis
	Basis    Basis
	// Bonus is what a strip is worth in addition, whatever its length. No order has one:
	// package instructed sets it to force strips.
	Bonus unit.Worth

	Measure        Measure
	Required, Made int64       // in the unit of Measure
	PieceLength    unit.Length // ByPieces only; 0: every strip is one piece

	// Due is the number of boards within which it has to be filled; 0: any number. Only
	// planning uses it.
	Due int64

	LeastLength, GreatestLength unit.Length // GreatestLength 0: none
	// Tolerance is how far a strip may be from a fixed width; half a step is always
	// allowed, since no saw can be more exact.
	Tolerance unit.Length

	// Accepts lists the kinds of defects that strips of the item may show; all
	// others break a run.
	Accepts []string

	// Cuts are the lengths that runs are crosscut to, with cuts CutKerf wide between
	// pieces and EndTrim taken off both ends of a run. With them the strip is worth its
	// pieces, and Value is not used.
	Cuts             []Cut
	CutKerf, EndTrim unit.Length

	// Panel is the width of the panels that strips of a range are glued up to, 0 for
	// none, and Joint what each strip loses of its width to the joints. Areas are counted
	// after that.
	Panel, Joint unit.Length
}

// Off is how far a strip may be from a fixed width: the item's tolerance, but at least
// half a step of the saw.
func (it *Item) Off(step unit.Length) unit.Length { return max(it.Tolerance, step/2) }

// Open reports what is still wanted in the unit of Measure, and whether there
// is a limit at all. An item with a limit and nothing open is off.
func (it *Item) Open() (amount int64, limited bool) {
	if it.Measure == Unlimited {
		return 0, false
	}
	return max(it.Required-it.Made, 0), true
}

// Full reports whether nothing of the item is open: it adds no worth to a plan.
func (it *Item) Full() bool {
	if open, limited := it.Open(); limited && open == 0 {
		return true
	}
	return len(it.Cuts) > 0 && !slices.ContainsFunc(it.Cuts, func(c Cut) bool { return !c.Limited || c.Made < c.Required })
}

// Full reports whether nothing of any item is open.
func Full(items []Item) bool {
	return !slices.ContainsFunc(items, func(it Item) bool { return !it.Full() })
}

// CloneItems copies items and their lengths, so that either can be changed.
func CloneItems(items []Item) []Item {
	out := slices.Clone(items)
	for i := range out {
		out[i].Cuts = slices.Clone(out[i].Cuts)
	}
	return out
}

// Limits of an order.
const (
	MaxItems     = published.MostEntriesOfCutOrderItems
	MaxWidth     = published.MostItemWidthMm * unit.Millimetre
	MaxLength    = published.MostItemMinLengthMm * unit.Millimetre
	MaxTolerance = published.MostItemToleranceMm * unit.Millimetre
	MaxDue       = published.MostItemDueBoards
	MaxAmount    = int64(published.MostAmountLengthM * 1_000_000) // micrometres, square micrometres or pieces
)

// short writes a whole number with few digits, above 0, without its zeros.
func short(n int64) string {
	zeros := 0
	for ; n%10 == 0; n /= 10 {
		zeros++
	}
	return fmt.Sprintf("%de%d", n, zeros)
}

// Faults lists what is wrong with an item, by field.
func (it *Item) Faults() fault.List {
	var l fault.List
	width := func(path string, v unit.Length) {
		if v <= 0 || v > MaxWidth {
			l.Because(fault.OutOfRange, path, "is %g; must be above 0 and at most %g", v.MM(), MaxWidth.MM())
		}
	}
	if it.Random {
		width("range.min_mm", it.Min)
		width("range.max_mm", it.Max)
		if it.Max < it.Min {
			l.Add("range.max_mm", "is %g, below min_mm %g", it.Max.MM(), it.Min.MM())
		}
	} else {
		width("width_mm", it.Min)
	}
	if it.Value < 0 || it.Value > saw.MaxValue {
		l.Because(fault.OutOfRange, "value", "must be 0 to %d", saw.MaxMoney)
	}
	if !it.Basis.Known() {
		l.Because(fault.UnknownWord, "value_per", "is not a basis")
	}
	amount := func(path string, v int64) {
		if v < 0 || v > MaxAmount {
			l.Because(fault.OutOfRange, path, "must be 0 or more and at most %s m, %s m2 or %s pieces",
				short(MaxAmount/1e6), short(MaxAmount/1e12), short(MaxAmount))
		}
	}
	amount("required", it.Required)
	amount("made", it.Made)
	length := func(path string, v unit.Length) {
		if v < 0 || v > MaxLength {
			l.Because(fault.OutOfRange, path, "is %g; must be 0 to %g", v.MM(), MaxLength.MM())
		}
	}
	if it.Due < 0 || it.Due > MaxDue {
		l.Because(fault.OutOfRange, "due_boards", "is %d; must be 0 (no due) to %d", it.Due, MaxDue)
	}
	length("min_length_mm", it.LeastLength)
	length("max_length_mm", it.GreatestLength)
	length("piece_length_mm", it.PieceLength)
	if it.GreatestLength > 0 && it.GreatestLength < it.LeastLength {
		l.Add("max_length_mm", "is %g, below min_length_mm %g", it.GreatestLength.MM(), it.LeastLength.MM())
	}
	if it.Tolerance < 0 || it.Tolerance > MaxTolerance {
		l.Because(fault.OutOfRange, "tolerance_mm", "is %g; must be 0 to %g", it.Tolerance.MM(), MaxTolerance.MM())
	}
	if n := len(it.Accepts); n > MaxAccepted {
		l.Because(fault.WrongCount, "accepts", "has %d entries; at most %d are taken", n, MaxAccepted)
	}
	l = append(l, it.cutFaults()...)
	return append(l, it.panelFaults()...)
}
