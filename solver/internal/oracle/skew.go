package oracle

import (
	"math/big"
	"slices"

	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// Skewed gives the board as it lies at a skew in nanometres per metre, computed in
// rational numbers and rounded to whole nanometres, halves away from zero.
func Skewed(b *wood.Board, skew int64) wood.Board {
	to := *b
	if skew == 0 {
		return to
	}
	shift := func(x unit.Length) unit.Length {
		v := big.NewRat(skew, 1_000_000_000)
		v.Mul(v, new(big.Rat).SetInt64(int64(x)))
		half := big.NewRat(1, 2)
		if v.Sign() < 0 {
			half.Neg(half)
		}
		v.Add(v, half)
		return unit.Length(new(big.Int).Quo(v.Num(), v.Denom()).Int64())
	}
	st := stationed(b)
	var low []unit.Length
	for _, s := range st {
		low = append(low, s.Near+shift(s.X))
	}
	m := slices.Min(low)
	for i := range st {
		st[i].Near += shift(st[i].X) - m
		st[i].Far += shift(st[i].X) - m
	}
	to.Stations = st
	to.Defects = slices.Clone(b.Defects)
	for i := range to.Defects {
		d := &to.Defects[i]
		ys := []unit.Length{d.FromY + shift(d.FromX) - m, d.FromY + shift(d.ToX) - m, d.ToY + shift(d.FromX) - m, d.ToY + shift(d.ToX) - m}
		d.FromY, d.ToY = slices.Min(ys), slices.Max(ys)
	}
	return to
}
