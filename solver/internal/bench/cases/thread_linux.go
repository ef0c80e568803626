package cases

import (
	"time"

	"golang.org/x/sys/unix"
)

// Thread gives the processor time of the current thread, on which other programmes on the
// machine have hardly any effect. To compare two readings, stay on the thread:
// runtime.LockOSThread. The garbage collector's other threads are not included.
func Thread() time.Duration {
	var t unix.Timespec
	if unix.ClockGettime(unix.CLOCK_THREAD_CPUTIME_ID, &t) != nil {
		return 0
	}
	return time.Duration(t.Nano())
}
