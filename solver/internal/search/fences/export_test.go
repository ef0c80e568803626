package fences

// States bounds the states of caps from now on and gives what bounded them before.
func States(most int) (before int) {
	before, mostStates = mostStates, most
	return before
}
