//go:build race

package trial

// slower is how many times longer everything may take: the race detector slows
// the search down about that much.
const slower = 20
