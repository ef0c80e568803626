package fences_test

import (
	"fmt"
	"math/big"
	"os"
	"strconv"
	"testing"

	"github.com/ripwright/ripwright/solver/internal/oracle"
	"github.com/ripwright/ripwright/solver/internal/search/budget"
	"github.com/ripwright/ripwright/solver/internal/search/fences"
	"github.com/ripwright/ripwright/solver/internal/search/model"
	"github.com/ripwright/ripwright/solver/rip"
)

// instances is how many to try: n, or what the environment asks for.
func instances(t *testing.T, n int) int {
	t.Helper()
	if testing.Short() {
		n /= 10
	}
	if s := os.Getenv("RIPWRIGHT_BRUTE"); s != "" {
		v, err := strconv.Atoi(s)
		if err != nil {
			t.Fatal(err)
		}
		n = v
	}
	return n
}

// written gives a plan as oracle.Written gives one of package rip.
func written(m *model.Model, p *model.Plan) string {
	o := oracle.Plan{Worth: p.Score.Worth.Big(), Dev: p.Score.Dev, Area: p.Score.Area, Blades: p.Score.Blades,
		Travel: p.Score.Travel, Fence: p.Fence, Pos: p.Blades}
	for _, w := range p.Wants {
		if w != model.None {
			w = m.Wants[w].Item
		}
		o.Items = append(o.Items, w)
	}
	return o.String()
}

// What is proven is what trying everything finds, ties and all, and the bound is
// never below it.
func TestBruteForce(t *testing.T) {
	want := instances(t, 600)
	seen := map[string]int{}
	for seed, done := int64(1), 0; done < want; seed++ {
		p := oracle.Problem(seed)
		if seed%2 == 0 {
			Widen(p, seed)
		}
		if len(p.Faults()) > 0 || !fences.Serves(&p.Board, &p.Saw, p.Items) || !oracle.Small(p) {
			continue
		}
		done++
		best := oracle.Kinds(p)[0]
		m := model.New(&p.Board, &p.Saw, p.Items)
		r := fences.Solve(m, budget.New(budget.Limits{}))
		if r.Bound.Big().Cmp(best.Worth) < 0 {
			t.Fatalf("seed %d: bound %v, optimum %v", seed, r.Bound.Big(), best)
		}
		seen[fmt.Sprint("open ", r.Open)]++
		if r.Rounds > 1 {
			seen["states"]++
		}
		if r.Open == fences.Unmet {
			t.Errorf("seed %d: a score does not meet its bound", seed)
		}
		if !r.Proven {
			continue
		}
		if best.Worth.Cmp(new(big.Int)) > 0 {
			seen["worth"]++
		}
		if got := written(m, r.Plan); got != best.String() {
			t.Fatalf("seed %d:\n got %s\nwant %s\n%s", seed, got, best, shown(p))
		}
	}
	t.Log(seen)
}

func shown(p *rip.Problem) string { return fmt.Sprintf("%+v", p) }
