package rip_test

import (
	"math/rand/v2"
	"testing"

	"github.com/ripwright/ripwright/solver/internal/search/model"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/unit"
)

// Both searches order plans alike, whatever decides: of two plans that are alike up to
// some quantity, the next differs in half of the pairs.
func TestOrderOfPlans(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6)) // repeatable on purpose
	plan := func() *model.Plan {
		return &model.Plan{
			Score: model.Score{Worth: unit.Worth{Lo: r.Uint64N(2)}, Dev: r.Int64N(2), Area: r.Int64N(2), Blades: r.Int64N(2), Travel: r.Int64N(2)},
			Skew:  r.Int64N(2), Fence: r.Int64N(2),
			Blades: []int64{r.Int64N(2), 2 + r.Int64N(2)},
			Wants:  []int{r.IntN(3) - 1, r.IntN(3) - 1}, // model.None is -1
		}
	}
	sign := func(c int) int { return min(max(c, -1), 1) }
	alike := 0
	for range 20_000 {
		a, b := plan(), plan()
		copied := []func(){
			func() { b.Score.Worth = a.Score.Worth }, func() { b.Score.Dev = a.Score.Dev }, func() { b.Score.Area = a.Score.Area },
			func() { b.Score.Blades = a.Score.Blades }, func() { b.Score.Travel = a.Score.Travel }, func() { b.Skew = a.Skew },
			func() { b.Fence = a.Fence }, func() { b.Blades[0] = a.Blades[0] }, func() { b.Blades[1] = a.Blades[1] },
			func() { b.Wants[0] = a.Wants[0] }, func() { b.Wants[1] = a.Wants[1] },
		}
		for _, same := range copied[:r.IntN(len(copied)+1)] {
			same()
		}
		got, want := sign(rip.Compare(a, b)), sign(a.Compare(b))
		if got != want {
			t.Fatalf("%+v and %+v: %d by intervals, %d by tables", a, b, got, want)
		}
		if want == 0 {
			alike++
		}
	}
	if alike == 0 {
		t.Error("no two plans were alike")
	}
}
