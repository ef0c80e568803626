//go:build !linux

package workers

// giveWay does nothing: threads have no separate priority here.
func giveWay() {}
