//go:build race

package brief

// racing says whether the race detector is on.
const racing = true
