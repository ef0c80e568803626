package tally

import (
	"math/big"

	"github.com/ripwright/ripwright/solver/unit"
)

// Rule is a way to measure lumber. The package comment says each exactly.
type Rule int

// The rules, in the order in which figures are given.
const (
	SurfaceMeasure Rule = iota
	EndTally
	BlockTally
	ExactVolume
	MetricVolume
)

// rules is how many there are.
const rules = int(MetricVolume) + 1

// Rules lists all rules.
func Rules() []Rule {
	return []Rule{SurfaceMeasure, EndTally, BlockTally, ExactVolume, MetricVolume}
}

// inchesInFoot turns width in inches times length in feet into square feet.
const inchesInFoot = int64(unit.Foot / unit.Inch)

// doubleBoardFoot is two board feet in cubic nanometres: 288 cubic inches. Faces
// are kept doubled, because half of a trapezoid need not be whole.
var doubleBoardFoot = func() *big.Int {
	in := big.NewInt(int64(unit.Inch))
	v := new(big.Int).Mul(in, in)
	v.Mul(v, in)
	return v.Mul(v, big.NewInt(2*144))
}()

// cubicMetresPerBoardFoot is exact: 144 cubic inches.
var cubicMetresPerBoardFoot = big.NewRat(2_359_737_216, 1_000_000_000_000)

// CubicMetres gives a volume in board feet in cubic metres.
func CubicMetres(boardFeet *big.Rat) *big.Rat {
	return new(big.Rat).Mul(boardFeet, cubicMetresPerBoardFoot)
}

// counted is the thickness that board feet are counted with: stock thinner than
// 1 in counts as 1 in.
func counted(nominal unit.Length) unit.Length { return max(nominal, unit.Inch) }

// feet takes a length down to the whole foot.
func feet(l unit.Length) int64 { return int64(l / unit.Foot) }

// turns rounds to the nearest whole number, exact halves up and down by turns,
// up first.
type turns struct{ down bool }

// nearest gives the sum of num/den rounded for each of so many equal pieces.
// num is not negative and den is positive.
func (t *turns) nearest(num, den, pieces int64) int64 {
	q, r := num/den, num%den
	switch {
	case 2*r < den:
		return q * pieces
	case 2*r > den:
		return (q + 1) * pieces
	}
	ups := pieces / 2
	if pieces%2 != 0 {
		if !t.down {
			ups++
		}
		t.down = !t.down
	}
	return q*pieces + ups
}
