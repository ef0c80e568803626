package main

import (
	"slices"
	"time"

	"github.com/ripwright/ripwright/solver/internal/bench/cases"
	"github.com/ripwright/ripwright/solver/rip"
)

// times of a case: what each of its boards takes, sorted, and the work in it.
type times struct {
	took   []time.Duration
	work   []int64
	proven int
}

// part gives the time that so many per cent of the boards stay within.
func (t *times) part(percent int) time.Duration { return t.took[(len(t.took)-1)*percent/100] }

// repeats is how often each board is solved; the least time counts. What other
// programmes take from it is left out so, and caches and heap are as they are on
// a line that runs.
const repeats = 4

func measure(c cases.Shape, seeds int) (*times, error) {
	t := &times{}
	for seed := range uint64(seeds) {
		p := c.Problem(seed)
		r, took, err := least(p)
		if err != nil {
			return nil, err
		}
		if r.Proven {
			t.proven++
		}
		t.took, t.work = append(t.took, took), append(t.work, r.Work)
	}
	slices.Sort(t.took)
	slices.Sort(t.work)
	return t, nil
}

// long is from when on the processor's time counts and not the clock's: a solve
// that takes less mostly has a core to itself, and the processor's time is coarse.
const long = 2 * time.Millisecond

// most bounds the steps of a search, at well over a hundred times what the median of
// any case takes: one board in hundreds with every width capped would take minutes.
const most = 20_000_000

// least solves a problem several times and gives the least that it took.
func least(p *rip.Problem) (r *rip.Result, took time.Duration, err error) {
	for i := range repeats {
		start, busy := time.Now(), cases.Busy()
		if r, err = rip.Solve(p, rip.Options{Work: most}); err != nil {
			return nil, 0, err
		}
		d := time.Since(start)
		if used := cases.Busy() - busy; d > long && used > 0 {
			d = min(d, used)
		}
		if i == 0 || d < took {
			took = d
		}
	}
	return r, took, nil
}
