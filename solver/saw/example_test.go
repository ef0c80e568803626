package saw_test

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
)

// An arbor with two fixed blades and a moving one that cannot clear them.
func ExampleSaw_Faults() {
	const mm = unit.Millimetre
	s := &saw.Saw{
		Kerf: 4 * mm, Step: mm / 10, Gap: 25 * mm, LeastStrip: 25 * mm,
		Fence: saw.Travel{Max: 150 * mm},
		Blades: []saw.Blade{
			{At: 100 * mm},
			{At: 160 * mm},
			{Moving: true, Travel: saw.Travel{Min: 120 * mm, Max: 180 * mm, Current: 150 * mm}},
		},
	}
	fmt.Println(s.Faults())
	s.Blades[2].Travel.Max = 400 * mm
	fmt.Println(s.Faults().Err())
	// Output:
	// blades[2].moving.max_mm: is 180; the blade before it and the smallest gap leave no room below 189; blades go in their order along the arbor
	// <nil>
}
