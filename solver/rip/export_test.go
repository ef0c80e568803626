package rip

// WithoutStates runs f with bounds that keep no cap by states, so that even small
// problems show what tolls do.
func WithoutStates(f func()) {
	was := mostStates
	mostStates = 1
	defer func() { mostStates = was }()
	f()
}
