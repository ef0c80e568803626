//go:build !linux

package broad

import "time"

var start = time.Now()

// clock gives the time by the clock: that of a thread is not known here.
func clock() time.Duration { return time.Since(start) }
