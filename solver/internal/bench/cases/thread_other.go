//go:build !linux

package cases

import "time"

var start = time.Now()

// Thread gives the time by the clock, since that of a thread is not known here.
func Thread() time.Duration { return time.Since(start) }
