package main

import (
	"fmt"
	"os"
	"strconv"
	"strings"
	"time"

	"golang.org/x/sys/unix"
)

// sizeOf reads one of the sizes that Linux keeps of a process, in bytes.
func sizeOf(pid int, name string) (int64, error) {
	raw, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
	if err != nil {
		return 0, err
	}
	_, after, found := strings.Cut(string(raw), name+":")
	if !found {
		return 0, fmt.Errorf("/proc/%d/status has no %s", pid, name)
	}
	kb, err := strconv.ParseInt(strings.Fields(after)[0], 10, 64)
	return kb << 10, err
}

// forget resets the peak of a process's resident memory.
func forget(pid int) error {
	return os.WriteFile(fmt.Sprintf("/proc/%d/clear_refs", pid), []byte("5"), 0)
}

// spent is the processor time of a process since its start, including threads that have
// ended.
func spent(pid int) time.Duration {
	var t unix.Timespec
	// The clock of another process, as by clock_getcpuclockid(3) on Linux.
	if unix.ClockGettime(int32(^pid)<<3|2, &t) != nil {
		return 0 // it has ended, as the call will report
	}
	return time.Duration(t.Nano())
}

// rest is the use of this machine's processors by other programs.
type rest struct{ ours []int }

// used is their processor time since the machine started, to the hundredth of a second
// that Linux counts in. It counts programs as ours only while they run.
func (r *rest) used() (time.Duration, error) {
	raw, err := os.ReadFile("/proc/stat")
	if err != nil {
		return 0, err
	}
	line, _, _ := strings.Cut(string(raw), "\n")
	var all time.Duration
	for i, text := range strings.Fields(line)[1:] {
		n, err := strconv.ParseInt(text, 10, 64)
		if err != nil {
			return 0, err
		}
		// user, nice, system, idle, iowait, irq, softirq, steal: proc_stat(5).
		if i <= 2 || i >= 5 && i <= 7 {
			all += time.Duration(n) * 10 * time.Millisecond
		}
	}
	for _, pid := range r.ours {
		all -= spent(pid)
	}
	return all, nil
}
