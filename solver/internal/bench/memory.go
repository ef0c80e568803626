package main

import (
	"fmt"
	"runtime"
	"runtime/debug"

	"github.com/ripwright/ripwright/solver/internal/bench/cases"
	"github.com/ripwright/ripwright/solver/rip"
)

// memory prints what a board allocates once the search's own memory is warm, and the size
// of that memory.
func memory(seeds int) (bool, error) {
	fmt.Printf("%-42s %12s %12s %14s\n", "", "allocations", "bytes/board", "kept, KiB")
	for _, c := range cases.Targets() {
		var all []*rip.Problem
		for seed := range uint64(min(seeds, 50)) {
			all = append(all, c.Problem(seed))
		}
		solve := func() error {
			for _, p := range all {
				if _, err := rip.Solve(p, rip.Options{}); err != nil {
					return fmt.Errorf("%s: %w", c.Name, err)
				}
			}
			return nil
		}
		runtime.GC()
		runtime.GC() // the first moves the pool's contents aside, the second frees them
		var cold, warm, done runtime.MemStats
		runtime.ReadMemStats(&cold)
		if err := solve(); err != nil {
			return false, err
		}
		was := debug.SetGCPercent(-1) // otherwise a collection may empty the pool in between
		runtime.ReadMemStats(&warm)
		err := solve()
		runtime.ReadMemStats(&done)
		debug.SetGCPercent(was)
		if err != nil {
			return false, err
		}
		runtime.GC() // what stays is what the pool keeps
		var kept runtime.MemStats
		runtime.ReadMemStats(&kept)
		runtime.KeepAlive(all) // it existed in the cold measurement
		n := uint64(len(all))
		fmt.Printf("%-42s %12d %12d %14d\n", c.Name, (done.Mallocs-warm.Mallocs)/n, (done.TotalAlloc-warm.TotalAlloc)/n,
			(max(kept.HeapAlloc, cold.HeapAlloc)-cold.HeapAlloc)/1024)
	}
	return true, nil
}
