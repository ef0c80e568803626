package values_test

import (
	"math/rand/v2"
	"reflect"
	"testing"

	"github.com/ripwright/ripwright/solver/planning/values"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/testdata/brief"
)

// Plans by corrected values fill the order, are never worse than the greedy plan, are the
// same every time, and mostly take the fewest boards possible when the greedy plan does
// not. Orders are drawn like Falkenauer's uniform class (Journal of Heuristics 2, 1996):
// widths of 20 to 100 on boards of 150.
func TestCorrected(t *testing.T) {
	worse, mended := 0, 0
	n := brief.Fewer(12)
	for seed := range uint64(n) {
		r := rand.New(rand.NewPCG(seed, 5))
		c := instance{Stock: 150}
		at := map[int64]int{}
		for range 80 {
			w := 20 + r.Int64N(81)
			i, known := at[w]
			if !known {
				i = len(c.Widths)
				at[w] = i
				c.Widths, c.Pieces = append(c.Widths, w), append(c.Pieces, 0)
			}
			c.Pieces[i]++
		}
		pl, err := values.New(c.problem(unit.Millimetre, 7))
		if err != nil {
			t.Fatal(err)
		}
		o := values.Options{Gap: 1e-3}
		plan, err := pl.Plan(pl.Demand.Open(), o)
		if err != nil {
			t.Fatal(err)
		}
		greedy, got, err := values.Corrected(pl, plan, o)
		if err != nil {
			t.Fatal(err)
		}
		if _, again, err := values.Corrected(pl, plan, o); err != nil || !reflect.DeepEqual(got, again) {
			t.Errorf("seed %d: two answers to one problem", seed)
		}
		if !got.Filled || got.Boards > greedy.Boards {
			t.Errorf("seed %d: %d boards, filled %v, greedy %d", seed, got.Boards, got.Filled, greedy.Boards)
		}
		c.recount(t, got)
		if !greedy.Proven {
			worse++
			if got.Proven {
				mended++
			}
		}
	}
	if worse < n/2 || mended < worse*2/3 {
		t.Errorf("%d of %d greedy plans that were not proven are by corrected values", mended, worse)
	}
}
