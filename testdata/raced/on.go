//go:build race

package raced

// On says whether the race detector is on.
const On = true
