package unit_test

import (
	"math/big"
	"testing"

	"pgregory.net/rapid"

	"github.com/ripwright/ripwright/solver/unit"
)

// Money is the nearest float64, as the big package divides.
func TestMoney(t *testing.T) {
	one := new(big.Int).Exp(big.NewInt(10), big.NewInt(21), nil)
	check := func(t rapid.TB, w unit.Worth) {
		want, _ := new(big.Rat).SetFrac(w.Big(), one).Float64()
		if got := w.Money(); got != want {
			t.Errorf("%v is %v, want %v", w, got, want)
		}
	}
	for _, w := range []unit.Worth{{}, {Lo: 1}, {Hi: -1, Lo: ^uint64(0)}, {Hi: 1}, {Hi: -1 << 63}, {Hi: 1<<63 - 1, Lo: ^uint64(0)},
		unit.WorthOf(1_000_000, 1_000_000_000, 1_000_000), unit.WorthOf(1_094_400, 1_000_000_000, 1_000_000)} {
		check(t, w)
	}
	rapid.Check(t, func(t *rapid.T) {
		for range 100 {
			w := unit.Worth{Hi: rapid.Int64().Draw(t, "hi"), Lo: rapid.Uint64().Draw(t, "lo")}
			if shift := rapid.IntRange(0, 126).Draw(t, "shift"); shift >= 64 {
				w = unit.Worth{Hi: w.Hi >> 63, Lo: uint64(w.Hi >> (shift - 64))}
			} else {
				w.Hi >>= shift
			}
			check(t, w)
			// Halfway between two floats, and next to it.
			h := rapid.Uint64Range(1<<53, 1<<54-1).Draw(t, "half") | 1
			x := new(big.Int).Mul(new(big.Int).SetUint64(h), one)
			x.Rsh(x, uint(rapid.IntRange(0, 40).Draw(t, "down")))
			x.And(x, new(big.Int).Sub(new(big.Int).Lsh(big.NewInt(1), 127), big.NewInt(1)))
			hi := new(big.Int).Rsh(x, 64)
			check(t, unit.Worth{Hi: hi.Int64(), Lo: new(big.Int).And(x, new(big.Int).SetUint64(^uint64(0))).Uint64()})
		}
	})
}
