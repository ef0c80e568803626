//go:build verify

package values_test

import (
	"testing"

	"github.com/ripwright/ripwright/solver/unit"
)

// A larger instance, of 33 widths and no round-up property, whose every board
// takes the search long: BPPLIB (Delorme, Iori, Martello 2018),
// Waescher_TEST0022. LP value and optimum solved again with exact arithmetic.
func TestCuttingStockTest0022(t *testing.T) {
	c := instance{source: "BPPLIB, Waescher_TEST0022", stock: 10000,
		width: []int64{4812, 4783, 4778, 4769, 4738, 4199, 4122, 3959, 3787, 3534, 3412, 3326, 3168, 2649, 2317, 2156, 2067, 1912, 1897,
			1762, 1594, 1574, 1492, 1308, 1274, 724, 511, 468, 246, 117, 63, 55, 26},
		pieces: []int64{3, 1, 1, 2, 1, 2, 2, 1, 1, 3, 3, 2, 4, 1, 2, 1, 2, 1, 1, 3, 1, 1, 2, 2, 2, 1, 2, 1, 1, 2, 2, 1, 1},
		lp:     13.99991, near: 5e-6, whole: 15}
	c.check(t, c.problem(100*unit.Micrometre, 10))
}
