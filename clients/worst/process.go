package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"
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

// spent is what the threads of a process have had of processors, and how long they
// have waited for one.
type spent struct{ ran, waited time.Duration }

func (s spent) since(before spent) spent { return spent{s.ran - before.ran, s.waited - before.waited} }

// times reads it. Threads that have ended are left out.
func times(pid int) (s spent) {
	all, _ := filepath.Glob(fmt.Sprintf("/proc/%d/task/*/schedstat", pid)) // the pattern is right
	for _, f := range all {
		raw, err := os.ReadFile(f)
		if err != nil {
			continue // it has ended just now
		}
		if fields := bytes.Fields(raw); len(fields) >= 2 {
			ran, _ := strconv.ParseInt(string(fields[0]), 10, 64)
			waited, _ := strconv.ParseInt(string(fields[1]), 10, 64)
			s.ran += time.Duration(ran)
			s.waited += time.Duration(waited)
		}
	}
	return s
}
