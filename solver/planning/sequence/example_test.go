package sequence_test

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/planning/sequence"
	"github.com/ripwright/ripwright/solver/unit"
)

// Three orders as they came in. The third one can run on the blades as they are, and the
// first is not due before the others are done.
func ExampleSolve() {
	const mm, minute = unit.Millimetre, sequence.Time(60_000)
	on := func(run sequence.Time, blades ...unit.Length) []sequence.Setting {
		return []sequence.Setting{{Blades: blades, Run: run}}
	}
	p := &sequence.Problem{
		Current: []unit.Length{100 * mm, 160 * mm}, Setup: 10 * minute, PerBlade: 5 * minute,
		Orders: []sequence.Order{
			{Settings: on(60*minute, 100*mm, 190*mm, 240*mm)},
			{Settings: on(30*minute, 100*mm, 190*mm), Due: 120 * minute},
			{Settings: on(45*minute, 100*mm, 160*mm)},
		},
	}
	r := sequence.Solve(p, nil)
	for _, s := range r.Best.Steps {
		fmt.Printf("order %d: %d blades moved, done after %d min\n", s.Order, s.Moved, s.Done/minute)
	}
	fmt.Printf("%d min in all, %d as given; proven: %v\n", r.Best.Total/minute, r.Given.Total/minute, r.Proven)
	// Output:
	// order 2: 0 blades moved, done after 45 min
	// order 1: 1 blades moved, done after 90 min
	// order 0: 1 blades moved, done after 165 min
	// 165 min in all, 185 as given; proven: true
}
