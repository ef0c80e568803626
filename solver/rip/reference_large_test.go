//go:build verify

package rip_test

import "testing"

// A larger 0/1 knapsack: Burkardt, KNAPSACK_01 data set P07. Fifteen caps of one
// take the search most of a minute, so it is left to make verify.
func TestReferenceKnapsackP07(t *testing.T) {
	w := []int64{70, 73, 77, 80, 82, 87, 90, 94, 98, 106, 110, 113, 115, 118, 120}
	v := []int64{135, 139, 149, 150, 156, 163, 173, 184, 192, 201, 210, 214, 221, 229, 240}
	if got := revenue(t, rod(750, 2, 0, true, len(w), pieces(2, w, v, 1))); got != 1458 {
		t.Errorf("%d, want 1458", got)
	}
}
