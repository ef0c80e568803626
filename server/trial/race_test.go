//go:build race

package trial

// slower is how many times longer everything may take: about as much as the race detector
// slows the search.
const slower = 20
