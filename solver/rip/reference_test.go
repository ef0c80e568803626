package rip_test

import (
	"fmt"
	"math/big"
	"testing"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// rod poses a one-dimensional cutting problem as a board: a rod of n units is a board n
// units wide, a piece of w units a strip of that width worth its price, once per strip.
// Trim is 0. Blades are free and there are enough of them.
//
// The outer edges are read in two ways. With free edges the near edge is straight, so it
// bounds the first strip without a kerf, and the last blade may stand just beyond the far
// edge. Otherwise every blade stays on the wood, so a blade runs at both outer edges.
func rod(n, u, kerf int64, free bool, blades int, items []order.Item) *rip.Problem {
	step := unit.Length(u) * unit.Millimetre
	width := unit.Length(n) * step
	s := saw.Saw{Kerf: unit.Length(kerf) * step, Step: step, Gap: step, LeastStrip: step}
	last := width - s.Kerf
	if free {
		last = width + unit.Length(blades)*(step+s.Kerf)
	}
	for range blades {
		s.Blades = append(s.Blades, saw.Blade{Moving: true, Travel: saw.Travel{Max: last}})
	}
	return &rip.Problem{Saw: s, Items: items, Board: wood.Board{Length: unit.Foot,
		Stations: []wood.Station{{Far: width}}, StraightNear: free}}
}

func pieces(u int64, widths, prices []int64, each int64) []order.Item {
	var items []order.Item
	for i, w := range widths {
		it := order.Item{ID: fmt.Sprint("w", i), Min: unit.Length(w*u) * unit.Millimetre,
			Value: prices[i] * 1_000_000, Basis: order.PerPiece}
		it.Max = it.Min
		if each > 0 {
			it.Measure, it.Required = order.ByPieces, each
		}
		items = append(items, it)
	}
	return items
}

func revenue(t *testing.T, p *rip.Problem) int64 {
	t.Helper()
	r, err := rip.Solve(p, rip.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if !r.Proven {
		t.Fatal("not proven")
	}
	one := new(big.Int).Exp(big.NewInt(10), big.NewInt(21), nil)
	q, rest := new(big.Int).QuoRem(r.Best.Worth.Big(), one, new(big.Int))
	if rest.Sign() != 0 {
		t.Fatalf("worth %v is not a whole price", r.Best.Worth.Money())
	}
	return q.Int64()
}

// Prices of Cormen, Leiserson, Rivest, Stein, Introduction to Algorithms, 3rd
// ed., section 15.1.
var (
	rodWidths = []int64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10}
	rodPrices = []int64{1, 5, 8, 9, 10, 17, 17, 20, 24, 30}
)

// Best revenues r(1..10) as printed there; 11 to 20 and r(40) computed with exact
// arithmetic. Free edges, no kerf.
func TestRodCutting(t *testing.T) {
	want := []int64{1, 5, 8, 10, 13, 17, 18, 22, 25, 30, 31, 35, 38, 40, 43, 47, 48, 52, 55, 60}
	for i, w := range want {
		n := int64(i + 1)
		if got := revenue(t, rod(n, 10, 0, true, int(n), pieces(10, rodWidths, rodPrices, 0))); got != w {
			t.Errorf("r(%d) = %d, want %d", n, got, w)
		}
	}
	if got := revenue(t, rod(40, 10, 0, true, 20, pieces(10, rodWidths, rodPrices, 0))); got != 120 {
		t.Errorf("r(40) = %d, want 120", got)
	}
}

// The same prices with a kerf of 1 between neighbours, edges free; and with blades at
// both outer edges, which gives the same table for rods 2 shorter. The values were
// recomputed and are not published.
func TestRodCuttingWithKerf(t *testing.T) {
	want := []int64{1, 5, 8, 9, 10, 17, 17, 20, 24, 30, 30, 31, 35, 38, 39, 41, 47, 47, 50, 54}
	for i, w := range want {
		n := int64(i + 1)
		blades := int(n+1)/2 + 1
		if got := revenue(t, rod(n, 10, 1, true, blades, pieces(10, rodWidths, rodPrices, 0))); got != w {
			t.Errorf("edges free, %d: %d, want %d", n, got, w)
		}
		// As many blades as fit on the wood one unit apart, or fewer: each
		// number is tried, since none may leave it.
		best := int64(0)
		for k := 2; k <= int(n+3)/2; k++ {
			best = max(best, revenue(t, rod(n+2, 10, 1, false, k, pieces(10, rodWidths, rodPrices, 0))))
		}
		if best != w {
			t.Errorf("blades at both edges, %d: %d, want %d", n+2, best, w)
		}
	}
}

// An order with caps of one is a 0/1 knapsack.
func TestKnapsacks(t *testing.T) {
	for _, c := range []struct {
		source   string
		capacity int64
		u        int64
		w, p     []int64
		want     int64
	}{
		{
			"Martello and Toth, the published run of their code", 104, 10,
			[]int64{25, 35, 45, 5, 25, 3, 2, 2},
			[]int64{350, 400, 450, 20, 70, 8, 5, 5}, 900,
		},
		{
			"Burkardt, KNAPSACK_01 data set P01", 165, 10,
			[]int64{23, 31, 29, 44, 53, 38, 63, 85, 89, 82},
			[]int64{92, 57, 49, 68, 60, 43, 67, 84, 87, 72}, 309,
		},
		{
			"Burkardt, KNAPSACK_01 data set P07", 750, 2,
			[]int64{70, 73, 77, 80, 82, 87, 90, 94, 98, 106, 110, 113, 115, 118, 120},
			[]int64{135, 139, 149, 150, 156, 163, 173, 184, 192, 201, 210, 214, 221, 229, 240}, 1458,
		},
	} {
		p := rod(c.capacity, c.u, 0, true, len(c.w), pieces(c.u, c.w, c.p, 1))
		if got := revenue(t, p); got != c.want {
			t.Errorf("%s: %d, want %d", c.source, got, c.want)
		}
	}
}
