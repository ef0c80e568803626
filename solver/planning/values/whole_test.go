package values_test

import (
	"math/big"
	"testing"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/planning/values"
)

// Boards cost 1,500,000 and 1,000,000 millionths, so plans cost multiples of 500,000: a
// bound that exceeds one by less than any float can tell still means the next.
func TestBoundRoundedUp(t *testing.T) {
	p := &values.Problem{Saw: knife(), Items: []order.Item{pieces(60, 10)}, Objective: values.Face, Lost: values.Everything,
		Lots: []values.Lot{{ID: "a", Kinds: []lumber.Kind{{Board: board(10_000, 150), Count: 1}}}, {ID: "b", Kinds: []lumber.Kind{{Board: board(10_000, 100), Count: 1}}}}}
	pl, err := values.New(p)
	if err != nil {
		t.Fatal(err)
	}
	hair := new(big.Rat).SetFrac(big.NewInt(1), new(big.Int).Exp(big.NewInt(10), big.NewInt(40), nil))
	for bound, want := range map[*big.Rat]int64{
		new(big.Rat):                       0,
		hair:                               500_000,
		big.NewRat(7, 2):                   3_500_000,
		big.NewRat(71, 20):                 4_000_000,
		new(big.Rat).Add(units(7), hair):   7_500_000,
		new(big.Rat).Sub(units(7), hair):   7_000_000,
		new(big.Rat).Add(units(1e9), hair): 1_000_000_000_500_000,
	} {
		if got := values.RoundUp(pl, bound); got.Cmp(big.NewInt(want)) != 0 {
			t.Errorf("%v: %v, want %d", bound, got, want)
		}
	}
}

func units(n int64) *big.Rat { return big.NewRat(n, 1) }

// Worked by hand: each strip of 60 or 100 takes a board of 100. By area alone three strips
// of 60 take two boards at least, so with three the plan is not proven; with fewer it is,
// also when boards are filled to the edge and the bound is their number itself.
func TestProvenByArea(t *testing.T) {
	const many = 5_000_000
	for narrow, proven := range map[int64]bool{0: true, 1: true, 2: true, 3: false} {
		// Ranges take no strip that is narrower by half a step.
		wide, other := pieces(100, many), pieces(60, narrow)
		wide.Random, other.Random, other.ID = true, true, "b"
		p := &values.Problem{Saw: knife(), Items: []order.Item{wide, other}, Objective: values.Boards, Lost: values.Everything}
		p.Lots = []values.Lot{{ID: "a", Kinds: []lumber.Kind{{Board: board(1000, 100), Count: 1}}}}
		pl, err := values.New(p)
		if err != nil {
			t.Fatal(err)
		}
		w, filled, err := pl.Greedy(pl.Demand.Open(), values.Options{})
		if err != nil || !filled || w.Boards != many+narrow || w.Cost != float64(w.Boards) || w.Proven != proven {
			t.Errorf("%d strips of 60: %d boards at %v, filled %v, proven %v, %v", narrow, w.Boards, w.Cost, filled, w.Proven, err)
		}
	}
}
