package order

import "github.com/ripwright/ripwright/solver/unit"

// Counting is how strips of an item count towards its requirement: the one place for that
// rule. What checks it (the oracle, the service's check of its own plans, the line
// simulator's books) states the rule independently.
type Counting struct {
	Measure     Measure     // never Unlimited
	PieceLength unit.Length // ByPieces only; 0: a strip with a counted run is one piece
	Joint       unit.Length // lost from a strip's width to the joints
}

// Counting gives how the item's strips count. Without a requirement, a range counts by
// area and a fixed width by length.
func (it *Item) Counting() Counting {
	return Counting{it.counted(), it.PieceLength, it.Joint}
}

func (it *Item) counted() Measure {
	switch {
	case it.Measure != Unlimited:
		return it.Measure
	case it.Random:
		return ByArea
	}
	return ByLength
}

// Pieces adds those of one more counted run to the pieces of a strip: all that the run
// holds, or one for the whole strip.
func (c Counting) Pieces(before int64, run unit.Run) int64 {
	if c.PieceLength > 0 {
		return before + int64(run)*int64(unit.Micrometre)/int64(c.PieceLength)
	}
	return 1
}

// Net is what the joints leave of a strip's width.
func (c Counting) Net(width unit.Length) unit.Length { return max(width-c.Joint, 0) }

// Width is the least width by whose area strips of a counted length above 0 come to an
// amount above 0.
func (c Counting) Width(amount, length int64) unit.Length {
	return c.Joint + unit.Length((amount-1)/length) + 1
}

// Amount is what a strip of a width counts if its counted runs total length, in
// micrometres, and give a number of pieces: micrometres, unit.Area or pieces.
func (c Counting) Amount(width unit.Length, length, pieces int64) int64 {
	switch c.Measure {
	case ByArea:
		return int64(c.Net(width)) * length
	case ByPieces:
		return pieces
	case ByLength, Unlimited:
	}
	return length
}

// Strip is Amount for a strip with these counted runs.
func (c Counting) Strip(width unit.Length, runs ...unit.Run) int64 {
	var length, pieces int64
	for _, r := range runs {
		length += int64(r)
		pieces = c.Pieces(pieces, r)
	}
	return c.Amount(width, length, pieces)
}
