package rip

import (
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/unit"
)

// Checked is a setting that someone else chose, scored by the solver's rules.
type Checked struct {
	// Plan holds the positions as given, with the items assigned optimally.
	Plan *Plan
	// Broken lists every rule that the setting breaks, by field: fence_mm or
	// blades_mm[i].
	Broken fault.List
	// Optimum is the search's result for the same problem; Distance is the
	// optimum's worth less the plan's, negative only where rules are broken.
	Optimum  *Result
	Distance unit.Worth
}
