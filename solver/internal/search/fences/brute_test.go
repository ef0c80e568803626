package fences_test

import (
	"fmt"
	"slices"
	"testing"

	"github.com/ripwright/ripwright/solver/internal/drawn"
	"github.com/ripwright/ripwright/solver/internal/oracle"
	"github.com/ripwright/ripwright/solver/internal/search/budget"
	"github.com/ripwright/ripwright/solver/internal/search/fences"
	"github.com/ripwright/ripwright/solver/internal/search/model"
	"github.com/ripwright/ripwright/solver/saw"
)

// written gives a plan as the oracle writes its own.
func written(m *model.Model, p *model.Plan) string {
	var items []int
	for _, w := range p.Wants {
		if w != model.None {
			w = m.Wants[w].Item
		}
		items = append(items, w)
	}
	return oracle.Written(p.Score.Worth.Big(), p.Score.Dev, p.Score.Area, p.Score.Blades, p.Score.Travel, 0, p.Fence, p.Blades, items)
}

// spans reports whether blades move between fixed ones.
func spans(p *oracle.Problem) bool {
	s, moves := 0, false
	for _, b := range p.Saw.Blades {
		switch {
		case s > 0 && b.Moving:
			moves = true
		case !b.Moving && moves:
			return true
		case !b.Moving:
			s++
		}
	}
	return false
}

// What is proven is what trying everything finds, ties and all, and the bound is never
// below it.
func TestBruteForce(t *testing.T) {
	want := drawn.Number(t, 600)
	seen := map[string]int{}
	for seed, done := drawn.From(t), 0; done < want; seed++ {
		p := drawn.Draw(seed, 0)
		Widen(p, seed)
		if p.Price = 0; !drawn.Valid(p) || !fences.Serves(&p.Board, &p.Saw) {
			continue
		}
		all, ok := oracle.Solve(p, drawn.Most)
		if !ok {
			continue
		}
		done++
		best := all.Kinds[0]
		m := model.New(&p.Board, &p.Saw, p.Items)
		most := []int{fences.MostStates, 5, 1}[seed%3] // with few, labels keep most caps, or all
		r := fences.SolveWith(m, budget.New(budget.Limits{}), most)
		if r.Bound.Big().Cmp(best.Worth()) < 0 {
			t.Fatalf("seed %d: bound %v, optimum %v", seed, r.Bound.Big(), best)
		}
		seen[fmt.Sprint("open ", r.Open)]++
		if r.Rounds > 1 {
			seen["states"]++
		}
		if r.States > 12 {
			seen["many states"]++
		}
		if r.Exact {
			seen["exact amounts"]++
		}
		if r.Open == fences.Unmet {
			t.Errorf("seed %d: a score does not meet its bound", seed)
		}
		if !r.Proven {
			continue
		}
		if best.Worth().Sign() > 0 {
			seen["worth"]++
			if p.Board.StraightNear {
				seen["straight"]++
			}
			if slices.ContainsFunc(p.Saw.Blades, func(b saw.Blade) bool { return !b.Moving && b.At%p.Saw.Step != 0 }) {
				seen["off the step"]++
			}
			if spans(p) {
				seen["spans"]++
			}
			if !m.Plain() {
				seen["defects"]++
			}
			if slices.ContainsFunc(r.Plan.Wants, func(w int) bool { return w != model.None && m.Wants[w].Crosscut() }) {
				seen["crosscut"]++
			}
			for k, w := range r.Plan.Wants { // and such a strip meets one
				if w == model.None || !m.Wants[w].Spotted() {
					continue
				}
				bare := m.Wants[w]
				bare.Refused = nil
				if lo, hi := m.Pocket(r.Plan, k); m.Cut(&bare, lo, hi) != m.Cut(&m.Wants[w], lo, hi) {
					seen["a strip with defects"]++
				}
			}
		}
		if got := written(m, r.Plan); got != best.String() {
			t.Fatalf("seed %d:\n got %s\nwant %s\n%s", seed, got, best, drawn.JSON(p))
		}
	}
	t.Log(seen)
	if seen["states"] < want/2 || seen["exact amounts"] < want/200 || seen["off the step"] < want/10 {
		t.Errorf("too few with caps that bind, or off the step: %v", seen)
	}
}
