package tally

import (
	"math/big"

	"github.com/ripwright/ripwright/solver/unit"
)

// Sums are the totals of boards by every rule, before thickness is applied: all whole
// numbers.
type Sums struct {
	Pieces  int64
	Surface int64 // surface measure, square feet
	End     int64 // end tally, inches times feet
	Block   int64 // block tally, inches times feet
	// Faces is twice the faces in square nanometres; Solid is twice the solid
	// wood in cubic nanometres.
	Faces, Solid big.Int
}

// mostFeet is the greatest whole length in feet.
const mostFeet = int64(MaxLength / unit.Foot)

// Measure adds boards up in the order of the tally. It counts those that take accepts;
// nil accepts all. The nominal thickness stands in where none was measured.
func Measure(boards []Board, nominal unit.Length, take func(*Board) bool) *Sums {
	var (
		s            Sums
		surface, end turns
		block        turns
		widths       [mostFeet + 1]int64
		a, b         big.Int
	)
	for i := range boards {
		bd := &boards[i]
		if take != nil && !take(bd) {
			continue
		}
		n, ft := bd.Pieces, feet(bd.Length)
		s.Pieces += n
		s.Surface += surface.nearest(int64(bd.Width)*ft, inchesInFoot*int64(unit.Inch), n)
		s.End += ft * end.nearest(int64(bd.Width), int64(unit.Inch), n)
		widths[ft] += int64(bd.Width) * n

		a.Mul(bd.twiceFace(&a), b.SetInt64(n))
		s.Faces.Add(&s.Faces, &a)
		s.Solid.Add(&s.Solid, a.Mul(&a, b.SetInt64(int64(bd.solid(nominal)))))
	}
	for ft, w := range widths {
		if w > 0 {
			s.Block += int64(ft) * block.nearest(w, int64(unit.Inch), 1)
		}
	}
	return &s
}

// twiceFace gives twice the face in square nanometres; tmp is scratch space.
func (b *Board) twiceFace(tmp *big.Int) *big.Int {
	if b.face != nil {
		return b.face
	}
	return tmp.Mul(big.NewInt(int64(b.Length)), big.NewInt(2*int64(b.Width)))
}

// solid is the thickness of the wood itself: as measured, or nominal.
func (b *Board) solid(nominal unit.Length) unit.Length {
	if b.Thickness > 0 {
		return b.Thickness
	}
	return nominal
}

// BoardFeet gives the sums in board feet by one rule, for a nominal thickness.
func (s *Sums) BoardFeet(r Rule, nominal unit.Length) *big.Rat {
	switch r {
	case EndTally:
		return thick(s.End, inchesInFoot, nominal)
	case BlockTally:
		return thick(s.Block, inchesInFoot, nominal)
	case ExactVolume:
		v := new(big.Int).Mul(&s.Faces, big.NewInt(int64(nominal)))
		return new(big.Rat).SetFrac(v, doubleBoardFoot)
	case MetricVolume:
		return new(big.Rat).SetFrac(&s.Solid, doubleBoardFoot)
	case SurfaceMeasure:
	}
	return thick(s.Surface, 1, nominal)
}

// thick converts an area, in units of 1/parts of a square foot, to board feet.
func thick(area, parts int64, nominal unit.Length) *big.Rat {
	r := new(big.Rat).SetFrac64(int64(counted(nominal)), parts*int64(unit.Inch))
	return r.Mul(r, new(big.Rat).SetInt64(area))
}
