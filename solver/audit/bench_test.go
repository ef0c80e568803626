package audit_test

import (
	"testing"

	"github.com/ripwright/ripwright/solver/audit"
	"github.com/ripwright/ripwright/solver/internal/bench/cases"
	"github.com/ripwright/ripwright/solver/rip"
)

// The cost of auditing a plan, compared with the search for it.
func BenchmarkResult(b *testing.B) {
	line := cases.Targets()[0]
	wide := cases.Line.With("nine moving blades, 16 stations", "MMMMMMMMM")
	scanned := wide
	scanned.Name, scanned.Stations = "nine moving blades, 80 stations", 80
	spoilt := line
	for _, c := range cases.Targets() {
		if c.Defects > 0 {
			spoilt = c
		}
	}
	for _, c := range []cases.Shape{line, wide, scanned, spoilt} {
		const boards = 50
		var problems []*rip.Problem
		var results []*rip.Result
		strips := 0
		for seed := uint64(1); len(problems) < boards; seed++ {
			p := c.Problem(seed)
			r, err := rip.Solve(p, rip.Options{Work: 200_000})
			if err != nil {
				b.Fatal(err)
			}
			problems, results = append(problems, p), append(results, r)
			for i := range r.Best.Pockets {
				if r.Best.Pockets[i].Item != rip.None {
					strips++
				}
			}
		}
		b.Run(c.Name, func(b *testing.B) {
			b.ReportAllocs()
			for i := range b.N {
				if d := audit.Result(problems[i%boards], audit.Terms{}, results[i%boards]); d != nil {
					b.Fatal(d)
				}
			}
			b.ReportMetric(float64(strips)/boards, "strips/plan")
		})
	}
}
