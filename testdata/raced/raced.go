// Package raced tells tests whether the race detector is on. It makes a search eight to
// eighteen times as slow, and a search starts no goroutines that it could check: tests
// that only search try fewer problems then, or none. make verify runs them without it.
package raced

import "testing"

// Fewer is n, or a sixth of it under the race detector.
func Fewer(n int) int {
	if On {
		return (n + 5) / 6
	}
	return n
}

// Skip skips a test under the race detector.
func Skip(t *testing.T) {
	t.Helper()
	if On {
		t.Skip("all search; make verify runs it without the race detector")
	}
}
