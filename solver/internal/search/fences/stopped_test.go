package fences_test

import (
	"testing"

	"github.com/ripwright/ripwright/solver/internal/bench/broad"
	"github.com/ripwright/ripwright/solver/internal/drawn"
	"github.com/ripwright/ripwright/solver/internal/oracle"
	"github.com/ripwright/ripwright/solver/internal/search/budget"
	"github.com/ripwright/ripwright/solver/internal/search/fences"
	"github.com/ripwright/ripwright/solver/internal/search/model"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/testdata/brief"
)

// every is the count of steps up to which each count is a limit; from there on limits
// grow by a fraction of themselves.
const every = 1000

// stops solves a problem with ever greater limits until one does not end the search: of
// work, of memory, and by a stop from within.
func stops(t *testing.T, name string, m *model.Model, optimum unit.Worth) {
	t.Helper()
	whole := budget.New(budget.Limits{Work: 400_000})
	fences.Solve(m, whole)
	_, most := whole.Held()
	check := func(kind string, limit int64, b *budget.Budget) {
		t.Helper()
		defer func() {
			if x := recover(); x != nil {
				t.Errorf("%s, %s %d: panic: %v", name, kind, limit, x)
				panic(x)
			}
		}()
		r := fences.Solve(m, b)
		if r.Bound.Cmp(optimum) < 0 {
			t.Fatalf("%s, %s %d: bound %g, optimum %g", name, kind, limit, r.Bound.Money(), optimum.Money())
		}
		if r.Plan == nil {
			if r.Proven {
				t.Fatalf("%s, %s %d: no plan is proven", name, kind, limit)
			}
			return
		}
		if sc, ok := m.Rate(r.Plan); !ok || sc != r.Plan.Score || sc.Worth.Cmp(optimum) > 0 {
			t.Fatalf("%s, %s %d: plan %v valid %v, scored %v, optimum %g", name, kind, limit, r.Plan, ok, sc, optimum.Money())
		}
		if r.Proven && (r.Plan.Score.Worth != optimum || b.Ended() != budget.None) {
			t.Fatalf("%s, %s %d: proven at %g, optimum %g, ended by %v", name, kind, limit, r.Plan.Score.Worth.Money(), optimum.Money(), b.Ended())
		}
	}
	for n := int64(1); n <= whole.Work()+1; n += 1 + max(0, n-every)/40 {
		check("work", n, budget.New(budget.Limits{Work: n}))
	}
	for n := int64(1); n <= whole.Work(); n += 1 + n/20 {
		b := budget.New(budget.Limits{})
		b.At(n, func() { b.End(budget.Time) })
		check("called after", n, b)
	}
	for n := int64(1); n <= most+1; n += 1 + n/100 {
		check("memory", n, budget.New(budget.Limits{Memory: n, Work: whole.Work() + 1}))
	}
}

// Wherever a limit stops a search, its plan is valid, its bound true and nothing is
// falsely proven.
func TestStopped(t *testing.T) {
	brief.Skip(t)
	want := drawn.Number(t, 12)
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
		var optimum unit.Worth
		m := model.New(&p.Board, &p.Saw, p.Items)
		if r := fences.Solve(m, budget.New(budget.Limits{})); r.Proven {
			optimum = r.Plan.Score.Worth
			if optimum.Big().Cmp(all.Kinds[0].Worth()) != 0 {
				t.Fatalf("seed %d: %g proven, the optimum is %v", seed, optimum.Money(), all.Kinds[0])
			}
			stops(t, drawn.JSON(p), m, optimum)
		}
	}
	for _, a := range broad.Arbors(97) {
		for k := range max(want/12, 1) {
			c := broad.Draw(97, a, k, nil)
			p := c.Problem
			if !fences.Serves(&p.Board, &p.Saw) {
				continue
			}
			m := model.New(&p.Board, &p.Saw, p.Items)
			if r := fences.Solve(m, budget.New(budget.Limits{Work: 30_000})); r.Proven {
				stops(t, c.Name(), m, r.Plan.Score.Worth)
			}
		}
	}
}
