//go:build !race

package raced

// On is whether the race detector is on.
const On = false
