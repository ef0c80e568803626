package tally

import (
	"math/rand/v2"
	"testing"

	"github.com/ripwright/ripwright/solver/unit"
)

// BenchmarkPack accounts a pack of 5,000 boards against a tally by counts, on the most
// expensive path: every rule, bounds, comparison, findings and what is left. The target
// is well under 100 ms.
func BenchmarkPack(b *testing.B) {
	r := rand.New(rand.NewPCG(1, 8))
	truth := make([]Board, 5000)
	for i := range truth {
		truth[i] = packKinds["whole feet with trim"](r)
		truth[i].Thickness = unit.Inch
	}
	p := Pack{Thickness: unit.Inch, LeastWidth: in(4, 1), Scant: -1, Tally: &Supplied{Form: Counts, Counts: truth},
		Boards: readings(r, fair, truth, 1)}
	for i := range p.Boards {
		p.Boards[i].Consumed = i%2 == 0
	}
	for _, rule := range []Rule{SurfaceMeasure, BlockTally, MetricVolume} {
		b.Run([]string{"surface measure", "", "block tally", "", "metric volume"}[rule], func(b *testing.B) {
			terms := Terms{Rule: rule, Instrument: fair}
			for b.Loop() {
				if _, err := terms.Account([]Pack{p}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
