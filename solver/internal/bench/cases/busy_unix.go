//go:build unix

package cases

import (
	"syscall"
	"time"
)

// Busy is the processor time that this process has used, on which other programmes on the
// machine have far less effect than on the time by the clock. Its resolution is up to a
// tenth of a millisecond. If it is not known, it is always 0.
func Busy() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
