package rip

import (
	"container/heap"
	"math"
)

// glance dives once before any table is made, so that a search which is stopped early has
// a plan. Without tables what is to come counts nothing.
func (s *search) glance(all fences) {
	last := len(s.in.blades) - 1
	if last < 1 {
		return
	}
	s.tails, s.heads = make([]table, last+1), make([]table, last+1)
	for i := range s.tails {
		s.tails[i].step, s.heads[i].step = s.in.step, s.in.step
	}
	s.dive(all)
	s.tails, s.heads = nil, nil
}

// scout dives at the most promising of a few fence positions.
func (s *search) scout(all fences) {
	const places, dives = 8, 3
	stops := (all.hi - all.lo) / s.in.step
	var q queue
	for i := range int64(places + 1) {
		at := all.lo + stops*i/places*s.in.step
		if i == 0 || at != all.lo {
			s.push(&q, fences{at, at}, score{Worth: worth{Hi: math.MaxInt64}}, nil)
		}
	}
	for range min(dives, len(q)) {
		if e := heap.Pop(&q).(*interval); !s.pool.outclassed(&e.bound, e.f.lo) {
			s.dive(e.f)
		}
	}
}

// dive looks for good plans quickly, at one fence position and with few labels, so that
// the search has a plan to compare bounds with.
func (s *search) dive(f fences) {
	const width = 6
	at := min(max(s.in.stopDown(s.in.fence0), f.lo), f.hi)
	s.aim(fences{at, at}, nil, nil)
	s.beam = width
	s.sweep()
	s.beam = 0
}

// diveStarts is the number of places at which a dive without a fixed blade begins.
const diveStarts = 100

// diveStops is how many stops below the widest of a range a dive tries.
const diveStops = 8
