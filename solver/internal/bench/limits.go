package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"runtime/debug"
	"slices"
	"time"

	"github.com/ripwright/ripwright/solver/internal/bench/cases"
	"github.com/ripwright/ripwright/solver/internal/bench/worst"
	"github.com/ripwright/ripwright/solver/rip"
)

// Of the service's answers, 99.9 % should leave within 10 ms after their limit and all
// within 25 ms; half of that is for the search.
const (
	soon = 5 * time.Millisecond
	late = 12500 * time.Microsecond
)

// limits stops the hardest possible requests at random moments and prints how much longer
// they run, and the most memory that they take.
func limits(seeds int) (bool, error) {
	runtime.LockOSThread()
	defer runtime.UnlockOSThread()
	defer debug.SetGCPercent(debug.SetGCPercent(50))
	var over, wall []overshoot
	counted, live := int64(0), int64(0)
	ended := make(map[rip.Limit]int)
	most := make(map[string]uint64)
	for seed := range uint64(seeds) {
		c := worst.Draw(seed)
		m, err := stopOne(c, seed)
		if err != nil {
			continue // lengths that combine in too many ways
		}
		ended[m.ended]++
		over, wall = append(over, overshoot{m.over, seed}), append(wall, overshoot{m.wall, seed})
		if m.counted > counted {
			counted, most["counted"] = m.counted, seed
		}
		if m.live > live {
			live, most["live"] = m.live, seed
		}
	}
	fmt.Printf("%d requests, of which ended by themselves %d, by time %d, by memory %d\n", len(over), ended[rip.NoLimit], ended[rip.TimeLimit], ended[rip.MemoryLimit])
	fmt.Printf("%-34s %10s %10s %10s %10s\n", "past the moment of stopping", "median", "99 %", "99.9 %", "worst")
	holds := printOver("processor time", over)
	printOver("by the clock", wall)
	fmt.Printf("memory: %d KiB counted at most (seed %d), %d KiB more on the heap (seed %d); the limit is %d KiB\n",
		counted>>10, most["counted"], live>>10, most["live"], rip.DefaultMemory>>10)
	slices.SortFunc(over, func(a, b overshoot) int { return int(b.took - a.took) })
	for _, o := range over[:min(5, len(over))] {
		fmt.Printf("  seed %d: %s later; %s\n", o.seed, o.took.Round(time.Microsecond), worst.Draw(o.seed))
	}
	return holds, nil
}

type overshoot struct {
	took time.Duration
	seed uint64
}

func printOver(what string, all []overshoot) bool {
	slices.SortFunc(all, func(a, b overshoot) int { return int(a.took - b.took) })
	at := func(q float64) time.Duration { return all[min(int(q*float64(len(all))), len(all)-1)].took }
	fmt.Printf("%-34s %10s %10s %10s %10s\n", what, at(0.5).Round(time.Microsecond), at(0.99).Round(time.Microsecond),
		at(0.999).Round(time.Microsecond), at(1).Round(time.Microsecond))
	return at(0.999) <= soon && at(1) <= late
}

// stoppedAt is the result of one request that was stopped.
type stoppedAt struct {
	over, wall    time.Duration
	counted, live int64
	ended         rip.Limit
}

// stopOne answers a case with a random limit of the thread's processor time, from a tenth
// of a millisecond to half a second.
func stopOne(c *worst.Case, seed uint64) (m stoppedAt, err error) {
	r := rand.New(rand.NewPCG(seed, 99))
	limit := time.Duration(float64(100*time.Microsecond) * math.Exp(r.Float64()*math.Log(5000)))
	runtime.GC()
	var mem runtime.MemStats
	runtime.ReadMemStats(&mem)
	before, polls := int64(mem.HeapAlloc), 0
	reading := time.Duration(0) // of the heap, which is not part of the search's time
	var stopped time.Time
	from := cases.Thread()
	res, err := c.Solve(rip.Options{Stop: func() bool {
		now := cases.Thread()
		if polls++; polls%1000 == 0 {
			runtime.ReadMemStats(&mem)
			m.live = max(m.live, int64(mem.HeapAlloc)-before)
			reading += cases.Thread() - now
			now = cases.Thread()
		}
		if now-from-reading < limit {
			return false
		}
		if stopped.IsZero() {
			stopped = time.Now()
		}
		return true
	}})
	m.over = max(cases.Thread()-from-reading-limit, 0)
	if !stopped.IsZero() {
		m.wall = time.Since(stopped)
	}
	if err != nil {
		return m, err
	}
	runtime.ReadMemStats(&mem)
	m.live = max(m.live, int64(mem.HeapAlloc)-before)
	m.counted, m.ended = res.Memory, res.EndedBy
	if res.EndedBy != rip.TimeLimit {
		m.over, m.wall = 0, 0
	}
	return m, nil
}
