package demand_test

import (
	"testing"

	"github.com/ripwright/ripwright/solver/internal/agree"
	"github.com/ripwright/ripwright/solver/internal/drawn"
	"github.com/ripwright/ripwright/solver/internal/oracle"
	"github.com/ripwright/ripwright/solver/planning/demand"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/wood"
)

// With a saw that turns boards, planning values a board at the best over both edges at
// the fence, whatever a turn costs, as exhaustive search shows.
func TestTurned(t *testing.T) {
	turned, done := 0, 0
	for seed := int64(1); done < drawn.Number(t, 150); seed++ {
		p := drawn.Draw(seed, drawn.Of(drawn.Refused))
		p.Price = 0
		p.Saw.Turns = []saw.Turning{{Turn: wood.EdgeOverEdge}}
		want, ok := oracle.Solve(p, drawn.Most)
		if !ok {
			continue
		}
		done++
		p.Saw.Turns[0].Cost = 5_000_000
		q := agree.Problem(p)
		r, err := demand.Solve(q, rip.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if best := want.Kinds[0]; r.Best.Worth.Big().Cmp(best.Worth()) != 0 || r.Bound.Big().Cmp(best.Worth()) < 0 || r.Best.Turn != best.Turn {
			t.Errorf("seed %d: %s, bound %v; want %s", seed, agree.Written(r.Best), r.Bound.Big(), best)
		}
		if r.Best.Turn != wood.AsScanned {
			turned++
		}
	}
	if turned == 0 {
		t.Error("no board was turned")
	}
	t.Logf("%d of %d turned", turned, done)
}
