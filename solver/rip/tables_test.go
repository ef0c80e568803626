package rip_test

import (
	"testing"

	"github.com/ripwright/ripwright/solver/internal/bench/broad"
	"github.com/ripwright/ripwright/solver/internal/search/fences"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/testdata/brief"
)

// On broad cases the searches by tables and by intervals of fences give the same plans,
// including ties, and no bound of one lies below a plan of the other. The benchmark does
// the same on thousands: go run ./solver/internal/bench/broad/run -intervals.
func TestTablesAgree(t *testing.T) {
	brief.Skip(t)
	both := 0
	for _, a := range broad.Arbors(3) {
		for n := range 30 {
			c := broad.Draw(3, a, n, nil)
			p := c.Problem
			if !fences.Serves(&p.Board, &p.Saw) || p.Board.GreatestWidth() > 260*mm {
				continue
			}
			got, err := rip.Solve(p, rip.Spoilt(rip.Options{Work: 300_000, Method: rip.ByTables}))
			if err != nil {
				t.Fatal(err)
			}
			want, err := rip.Solve(p, rip.Spoilt(rip.Options{Work: 300_000, Method: rip.ByIntervals}))
			if err != nil {
				t.Fatal(err)
			}
			if d := broad.Differ(got, want); d != "" {
				t.Errorf("%s: %s", c.Name(), d)
			}
			if got.Proven && want.Proven {
				both++
			}
		}
	}
	if both < 20 {
		t.Errorf("only %d proven by both", both)
	}
	t.Log(both, "proven by both")
}
