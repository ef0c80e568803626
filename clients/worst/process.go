package main

import (
	"fmt"
	"os"
	"strconv"
	"strings"
	"time"

	"golang.org/x/sys/unix"
)

// sizeOf reads one of the sizes that Linux has of a process, in bytes.
func sizeOf(pid int, name string) (int64, error) {
	raw, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
	if err != nil {
		return 0, err
	}
	_, after, found := strings.Cut(string(raw), name+":")
	if !found {
		return 0, fmt.Errorf("process %d has no %s", pid, name)
	}
	kb, err := strconv.ParseInt(strings.Fields(after)[0], 10, 64)
	return kb << 10, err
}

// forget begins the peak of a process's resident memory anew.
func forget(pid int) error {
	return os.WriteFile(fmt.Sprintf("/proc/%d/clear_refs", pid), []byte("5"), 0)
}

// spent is how much of processors a process has had since it began, all its threads
// together, those that have ended too.
func spent(pid int) time.Duration {
	var t unix.Timespec
	// The clock of another process, as clock_getcpuclockid(3) has it on Linux.
	if unix.ClockGettime(int32(^pid)<<3|2, &t) != nil {
		return 0 // it has ended, as the call will say
	}
	return time.Duration(t.Nano())
}
