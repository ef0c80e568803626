package rip

import "github.com/ripwright/ripwright/solver/unit"

// WithoutStates runs f with bounds that keep no cap by states, so that even small
// problems show what tolls do.
func WithoutStates(f func()) {
	was := mostStates
	mostStates = 1
	defer func() { mostStates = was }()
	f()
}

// CrudeBounds gives the bounds by sizes alone: over all angles with all items made
// ready and with none, and for a board that cannot be skewed as it lies.
func CrudeBounds(p *Problem) map[string]unit.Worth {
	all, _ := prepare(p, (&Options{}).Budget())
	none, _ := prepare(p, (&Options{Memory: 1}).Budget())
	bounds := map[string]unit.Worth{"of items made ready": all.crude(p.skews()), "of items not made ready": none.crude(p.skews())}
	if p.Saw.Skew == 0 {
		bounds["as it lies"] = all.at(0).crude()
		bounds["as it lies, none made ready"] = none.at(0).crude()
	}
	return bounds
}
