// Package brief tells tests that only search whether to be brief: under the race detector,
// which makes a search eight to eighteen times as slow and finds nothing in it, since it
// starts no goroutines, and under -short. They try fewer problems then, or none. make
// verify runs them whole.
package brief

import "testing"

// On says whether to be brief.
func On() bool { return racing || testing.Testing() && testing.Short() }

// Fewer is n, or a sixth of it if tests are to be brief.
func Fewer(n int) int {
	if On() {
		return (n + 5) / 6
	}
	return n
}

// Skip skips a test if tests are to be brief.
func Skip(t *testing.T) {
	t.Helper()
	if On() {
		t.Skip("all search; make verify runs it")
	}
}
