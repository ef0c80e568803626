package fences_test

import (
	"reflect"
	"testing"

	"github.com/ripwright/ripwright/solver/internal/bench/broad"
	"github.com/ripwright/ripwright/solver/internal/drawn"
	"github.com/ripwright/ripwright/solver/internal/search/budget"
	"github.com/ripwright/ripwright/solver/internal/search/fences"
	"github.com/ripwright/ripwright/solver/internal/search/model"
)

// A search that has no room for what it learns about travels finds the same plan.
func TestForgotten(t *testing.T) {
	const seed = 31
	compared, more := 0, 0
	for _, a := range broad.Arbors(seed) {
		for k := range drawn.Number(t, 6) {
			p := broad.Draw(seed, a, k, nil).Problem
			if !fences.Serves(&p.Board, &p.Saw) {
				continue
			}
			m := model.New(&p.Board, &p.Saw, p.Items)
			whole := budget.New(budget.Limits{Work: 100_000})
			want := fences.Solve(m, whole)
			if !want.Proven {
				continue
			}
			_, most := whole.Held()
			b := budget.New(budget.Limits{Memory: most})
			got := fences.Solve(m, b)
			if !got.Proven || !reflect.DeepEqual(got.Plan, want.Plan) {
				t.Fatalf("%s, number %d, in %d bytes: proven %t, %v\nwant %v", a.Name, k, most, got.Proven, got.Plan, want.Plan)
			}
			compared++
			if b.Work() != whole.Work() {
				more++
			}
		}
	}
	if t.Logf("%d compared, %d took other steps", compared, more); more < compared/10 {
		t.Error("too few have forgotten anything")
	}
}
