package workers

import (
	"sync"
	"syscall"
	"testing"
	"time"
)

// nice is that of the calling thread, from -20, the first to run, to 19; the system call
// returns 20 minus it.
func nice(t *testing.T) int {
	p, err := syscall.Getpriority(syscall.PRIO_PROCESS, 0)
	if err != nil {
		t.Error(err)
	}
	return 20 - p
}

// Work gives way, on every worker, and leaves no thread behind that would make boards
// give way too.
func TestWorkGivesWay(t *testing.T) {
	w := make3(&seen{})
	w.away = true
	ordinary := nice(t)
	var mu sync.Mutex
	helped := map[int]int{}
	for range 20 {
		if err := w.Do(t.Context(), "Quote", 0, func() error {
			if n := nice(t); n != niceness {
				t.Errorf("a call's own work at %d", n)
			}
			w.Each(30, func(int) {
				mu.Lock()
				defer mu.Unlock()
				helped[nice(t)]++
				time.Sleep(10 * time.Microsecond)
			})
			return nil
		}); err != nil {
			t.Fatal(err)
		}
	}
	if len(helped) != 1 || helped[niceness] != 600 {
		t.Errorf("parts by priority: %v", helped)
	}
	var after sync.WaitGroup
	for range 50 {
		after.Go(func() {
			if n := nice(t); n != ordinary {
				t.Errorf("%d after work, %d before", n, ordinary)
			}
			time.Sleep(time.Millisecond)
		})
	}
	after.Wait()
}
