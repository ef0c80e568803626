package tally

import (
	"math/big"

	"github.com/ripwright/ripwright/solver/internal/published"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// Board is one board, or several of one size.
//
// Invariants, checked by Pack.Faults:
//  1. 0 < Width <= MaxWidth, 0 < Length <= MaxLength.
//  2. 0 <= Thickness <= MaxThickness; 0 means that it was not measured.
//  3. 1 <= Pieces <= MaxPieces.
type Board struct {
	ID                       string
	Width, Length, Thickness unit.Length
	Pieces                   int64
	// Consumed says that the board is no longer in the pack.
	Consumed bool

	// face is twice the face in square nanometres of a scanned board; nil: it is a
	// rectangle.
	face *big.Int
}

// Bounds that keep the sums inside their integers.
const (
	MaxWidth     = 2 * wood.MaxAcross // a scanned edge may lie on either side of the fence
	MaxLength    = wood.MaxLength
	MaxThickness = 2_000 * unit.Millimetre
	MaxPieces    = published.MostCountLinePieces // in a pack
)

// TakenAt says where the width of a scanned board is measured, for the rules that need
// one.
type TakenAt int

// The places.
const (
	// AtThird is one third of the length from the narrower end: how tapering lumber is
	// measured (common practice).
	AtThird TakenAt = iota
	// AtMean is the mean width: the face over the length.
	AtMean
	// AtLeast is the narrowest place.
	AtLeast
)

// Scanned makes a board of one piece from a scan without faults. Its width is rounded to
// the nearest nanometre; its face is exact.
func Scanned(b *wood.Board, at TakenAt) Board {
	out := Board{Length: b.Length, Thickness: b.Thickness, Pieces: 1, face: twiceFace(b)}
	switch at {
	case AtMean:
		double := new(big.Int).Mul(big.NewInt(int64(b.Length)), big.NewInt(2))
		out.Width = nearestLength(out.face, double)
	case AtLeast:
		out.Width = b.Stations[0].Far - b.Stations[0].Near
		for _, s := range b.Stations[1:] {
			out.Width = min(out.Width, s.Far-s.Near)
		}
	default:
		first, last := b.Stations[0], b.Stations[len(b.Stations)-1]
		third := new(big.Rat).SetFrac64(int64(b.Length), 3)
		if last.Far-last.Near < first.Far-first.Near {
			third.Add(third, third)
		}
		out.Width = widthAt(b, third)
	}
	return out
}

// widthAt gives the width at x, to the nearest nanometre.
func widthAt(b *wood.Board, x *big.Rat) unit.Length {
	st := b.Stations
	beyond := func(s wood.Station) bool { return x.Cmp(big.NewRat(int64(s.X), 1)) <= 0 }
	if beyond(st[0]) {
		return st[0].Far - st[0].Near
	}
	for i := 1; i < len(st); i++ {
		if !beyond(st[i]) {
			continue
		}
		s, t := st[i-1], st[i]
		from, to := s.Far-s.Near, t.Far-t.Near
		w := new(big.Rat).Sub(x, big.NewRat(int64(s.X), 1))
		w.Mul(w, big.NewRat(int64(to-from), int64(t.X-s.X)))
		w.Add(w, big.NewRat(int64(from), 1))
		return nearestLength(w.Num(), w.Denom())
	}
	last := st[len(st)-1]
	return last.Far - last.Near
}

// nearestLength gives num/den rounded to the nearest whole number, halves up.
func nearestLength(num, den *big.Int) unit.Length {
	n := new(big.Int).Lsh(num, 1)
	n.Add(n, den)
	return unit.Length(n.Quo(n, new(big.Int).Lsh(den, 1)).Int64())
}

// twiceFace adds up the trapezoids between stations; before the first station and after
// the last one the edges run level.
func twiceFace(b *wood.Board) *big.Int {
	sum, part := new(big.Int), new(big.Int)
	add := func(dx, widths unit.Length) {
		sum.Add(sum, part.Mul(big.NewInt(int64(dx)), big.NewInt(int64(widths))))
	}
	st := b.Stations
	first, last := st[0], st[len(st)-1]
	add(first.X, 2*(first.Far-first.Near))
	for i := 1; i < len(st); i++ {
		s, t := st[i-1], st[i]
		add(t.X-s.X, s.Far-s.Near+t.Far-t.Near)
	}
	add(b.Length-last.X, 2*(last.Far-last.Near))
	return sum
}
