//go:build !race

package trial

// slower is how many times longer everything may take than in the service.
const slower = 1
