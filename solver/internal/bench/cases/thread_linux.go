package cases

import (
	"time"

	"golang.org/x/sys/unix"
)

// Thread gives the processor time of the thread at hand, in nanoseconds, which other
// programmes on the machine hardly lengthen. Whoever compares two readings must stay
// on the thread: runtime.LockOSThread. What the collector does beside is not in it.
func Thread() time.Duration {
	var t unix.Timespec
	if unix.ClockGettime(unix.CLOCK_THREAD_CPUTIME_ID, &t) != nil {
		return 0
	}
	return time.Duration(t.Nano())
}
