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

// least solves a problem several times and gives the least that it took.
func least(p *rip.Problem) (r *rip.Result, took time.Duration, err error) {
	for i := range repeats {
		start := time.Now()
		if r, err = rip.Solve(p, rip.Options{}); err != nil {
			return nil, 0, err
		}
		if d := time.Since(start); i == 0 || d < took {
			took = d
		}
	}
	return r, took, nil
}
