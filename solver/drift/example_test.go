package drift_test

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/drift"
	"github.com/ripwright/ripwright/solver/unit"
)

// Strips between blades 1 and 2 come out 0.4 mm too wide from the first one on.
func ExampleWatch_Add() {
	w := drift.Watch{Settings: drift.Settings{Shift: drift.UsualShift, Scatter: 100 * unit.Micrometre}}
	for n := 1; ; n++ {
		t, ok := w.Add(drift.Strip{Near: 1, Far: 2, Planned: 60 * unit.Millimetre, Measured: 60_400 * unit.Micrometre})
		if ok {
			fmt.Printf("strip %d: %.1f mm too wide\n", n, t.By.MM())
			return
		}
	}
	// Output:
	// strip 10: 0.4 mm too wide
}
