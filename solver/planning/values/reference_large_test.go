//go:build soak

package values_test

import (
	"testing"

	"github.com/ripwright/ripwright/solver/unit"
)

// A larger instance, of 33 widths and no round-up property, whose every board
// takes the search long: BPPLIB (Delorme, Iori, Martello 2018),
// Waescher_TEST0022, optimum 15. The published LP value, 13.99991, is that over
// patterns which make of no width more than is wanted in all. Planning leaves
// that rule out of its programme, as it does for every order; without it the
// value is 13.999880 (solved again by knapsack and column generation), and
// rounded up both are 14.
func TestReferenceTest0022(t *testing.T) {
	c := instance{Source: "BPPLIB, Waescher_TEST0022", Stock: 10000,
		Widths: []int64{4812, 4783, 4778, 4769, 4738, 4199, 4122, 3959, 3787, 3534, 3412, 3326, 3168, 2649, 2317, 2156, 2067, 1912, 1897,
			1762, 1594, 1574, 1492, 1308, 1274, 724, 511, 468, 246, 117, 63, 55, 26},
		Pieces: []int64{3, 1, 1, 2, 1, 2, 2, 1, 1, 3, 3, 2, 4, 1, 2, 1, 2, 1, 1, 3, 1, 1, 2, 2, 2, 1, 2, 1, 2, 2, 2, 1, 1},
		LP:     13.999880240, Boards: 15}
	c.check(t, c.problem(100*unit.Micrometre, 10))
}
