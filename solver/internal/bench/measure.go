package main

import (
	"slices"
	"time"

	"github.com/ripwright/ripwright/solver/internal/bench/cases"
	"github.com/ripwright/ripwright/solver/rip"
)

// times of a case: that of each of its boards, sorted, and their work.
type times struct {
	took   []time.Duration
	work   []int64
	proven int
}

// part gives the time within which a percentage of the boards stays.
func (t *times) part(percent int) time.Duration { return t.took[(len(t.took)-1)*percent/100] }

// repeats is how often each board is solved; the least time counts. That leaves out what
// other programmes take, and caches and heap are as on a running line.
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

// long is the time from which the processor's time counts instead of the clock's: a
// shorter solve mostly has a core to itself, and the processor's time is coarse.
const long = 2 * time.Millisecond

// most limits the steps of a search, at well over a hundred times the median of any case:
// one board in hundreds with every width capped would take minutes.
const most = 20_000_000

// least solves a problem several times and gives the least time that it took.
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
