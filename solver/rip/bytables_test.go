package rip_test

import (
	"testing"

	"github.com/ripwright/ripwright/solver/audit"
	"github.com/ripwright/ripwright/solver/internal/bench/broad"
	"github.com/ripwright/ripwright/solver/internal/search/fences"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/testdata/brief"
)

// A search by tables that steps or memory end, with start heuristics called from within
// it, has a valid plan, a true bound and no false proof.
func TestStoppedByTables(t *testing.T) {
	arbors := broad.Arbors(6)
	for _, a := range arbors[:brief.Fewer(len(arbors))] {
		for n := range 2 {
			c := broad.Draw(6, a, n, nil)
			p := c.Problem
			if !fences.Serves(&p.Board, &p.Saw) {
				continue
			}
			whole, err := rip.Solve(p, rip.Spoilt(rip.Options{Work: 200_000}))
			if err != nil {
				t.Fatal(err)
			}
			check := func(o rip.Options) {
				t.Helper()
				r, err := rip.Solve(p, o)
				if err != nil {
					t.Fatal(err)
				}
				for _, d := range audit.Result(p, audit.Terms{}, r) {
					t.Errorf("%s, %+v: %v", c.Name(), o, d)
				}
				if r.Bound.Cmp(whole.Best.Worth) < 0 || r.Best.Worth.Cmp(whole.Bound) > 0 || r.Proven && r.Best.Worth.Cmp(whole.Best.Worth) < 0 {
					t.Errorf("%s, %+v: worth %g, bound %g, proven %v, but the whole search has %g and %g", c.Name(), o,
						r.Best.Worth.Money(), r.Bound.Money(), r.Proven, whole.Best.Worth.Money(), whole.Bound.Money())
				}
				if o.Memory > 0 && r.Memory > o.Memory {
					t.Errorf("%s: %d bytes held of %d", c.Name(), r.Memory, o.Memory)
				}
			}
			for w := int64(1); w < 2*whole.Work && w < 100_000; w += 1 + w/3 {
				check(rip.Spoilt(rip.Options{Work: w}))
			}
			for m := int64(1 << 10); m < 2*whole.Memory; m += m / 2 {
				check(rip.Spoilt(rip.Options{Memory: m, Work: 50_000}))
			}
		}
	}
}
