package tally

import (
	"math/big"

	"github.com/ripwright/ripwright/solver/unit"
)

// Rule is a way to measure lumber. The package comment defines each.
type Rule int

// The rules, in the order of the figures in an account.
const (
	SurfaceMeasure Rule = iota
	EndTally
	BlockTally
	ExactVolume
	MetricVolume
)

// rules is the number of rules.
const rules = int(MetricVolume) + 1

// Rules lists all rules.
func Rules() []Rule {
	return []Rule{SurfaceMeasure, EndTally, BlockTally, ExactVolume, MetricVolume}
}

// inchesInFoot converts width in inches times length in feet to square feet.
const inchesInFoot = int64(unit.Foot / unit.Inch)

// doubleBoardFoot is two board feet in cubic nanometres: 288 cubic inches. Faces are kept
// doubled, since half of a trapezoid may not be a whole number.
var doubleBoardFoot = func() *big.Int {
	in := big.NewInt(int64(unit.Inch))
	v := new(big.Int).Mul(in, in)
	v.Mul(v, in)
	return v.Mul(v, big.NewInt(2*144))
}()

// cubicMetresPerBoardFoot is exact: 144 cubic inches.
var cubicMetresPerBoardFoot = big.NewRat(2_359_737_216, 1_000_000_000_000)

// CubicMetres converts a volume in board feet to cubic metres.
func CubicMetres(boardFeet *big.Rat) *big.Rat {
	return new(big.Rat).Mul(boardFeet, cubicMetresPerBoardFoot)
}

// counted is the thickness used for board feet: stock thinner than 1 in counts as 1 in.
func counted(nominal unit.Length) unit.Length { return max(nominal, unit.Inch) }

// feet rounds a length down to the whole foot.
func feet(l unit.Length) int64 { return int64(l / unit.Foot) }

// turns rounds to the nearest whole number, exact halves up and down in turn, up first.
type turns struct{ down bool }

// nearest gives the sum of num/den rounded for each of that many equal pieces. num is not
// negative and den is positive.
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
