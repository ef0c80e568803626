package rip

import (
	"container/heap"
	"math"
	"unsafe"
)

// find is run up to where a limit stops it; s.bound is then the bound. Intervals of fence
// positions are taken best bound first. One that is popped unswept is swept for a sharper
// bound, then halved; a single position is swept for its plans.
func (s *search) find() worth {
	in := s.in
	everything := fences{in.fenceLo, in.fenceHi}
	crude := in.crude()
	fresh := len(s.pool.plans) == 0
	rests, orderly := in.orderly()
	if fresh && !orderly && (!s.anchored || s.anchor > 1 || s.tail() > 0) { // otherwise no table takes long
		s.glance(everything)
	}
	dived := false
	if orderly {
		if bound, ok := s.free(rests); ok {
			return bound
		}
	}
	if !s.takeTolls() {
		return crude
	}
	if tail := s.tail(); tail >= 0 {
		if s.tails = s.tables(tail); s.tails == nil {
			return crude
		}
	}
	q := s.queue[:0]
	defer func() { s.queue = q }()
	if s.anchored && s.anchor > 0 {
		if s.heads = s.leftTables(s.anchor - 1); s.heads == nil {
			return crude
		}
	}
	if fresh && !s.anchored {
		s.scout(everything)
	}
	s.push(&q, everything, score{Worth: crude, Area: math.MaxInt64}, nil)
	for len(q) > 0 {
		if s.starters != nil {
			s.starters.tell(s)
		}
		e := q[0]
		if s.pool.outclassed(&e.bound, e.f.lo) {
			if e.bound.Cmp(&s.pool.worst().score) < 0 {
				break
			}
			heap.Pop(&q) // equally good, but further out; others as good may be nearer
			s.drop(e)
			continue
		}
		s.bound = minWorth(s.bound, maxWorth(e.bound.Worth, s.bestWorth()))
		s.tick(1)
		heap.Pop(&q)
		s.aim(e.f, e.left.trailed(), e.left.kinds())
		stops := (e.f.hi-e.f.lo)/in.step + 1
		switch {
		case e.f.single() || !e.swept && (stops <= s.sweepStops || !s.anchored || s.kinds):
			// What a glance found is far from what a dive with tables finds.
			if s.anchored && (fresh && (!dived || !s.pool.full()) || s.ceil != nil && !e.swept && e.bound.Worth.Cmp(s.pool.least()) > 0) {
				dived = true
				s.dive(e.f)
				s.aim(e.f, e.left.trailed(), e.left.kinds())
			}
			best, ok := s.sweep()
			if s.over() {
				panic(stopped{})
			}
			if e.f.single() || !ok {
				s.drop(e)
			} else {
				if best.Cmp(&e.bound) < 0 {
					e.bound = best
				}
				e.swept = true
				s.leaves(e)
				heap.Push(&q, e)
				if best.Worth.Cmp(s.pool.least()) > 0 {
					s.dive(e.f)
				}
			}
		default:
			mid := e.f.lo + (stops/2-1)*in.step
			s.push(&q, fences{e.f.lo, mid}, e.bound, e.left)
			s.push(&q, fences{mid + in.step, e.f.hi}, e.bound, e.left)
			s.drop(e)
		}
	}
	return s.bestWorth()
}

// worthSweeping is the number of stops of the widest interval that is worth sweeping:
// over wider ones the wood moves so far that the sweep's bound is no better than the
// quick one. If each moving blade has a fixed one on one side and none on the other, and
// the quota keeps all caps, the quick bound of a narrow interval leaves little to
// sharpen.
func (s *search) worthSweeping() int64 {
	const wide = 32
	in := s.in
	last := len(in.blades) - 1
	if !s.quota.whole(in) {
		return wide
	}
	for j := range in.blades {
		if in.blades[j].moving && (j > 0 && j < last || in.blades[max(j-1, 0)].moving && in.blades[min(j+1, last)].moving) {
			return wide
		}
	}
	return 1
}

// tail is how many moving blades stand at the end of the arbor beyond the first one that
// a table serves, or -1 if none is needed.
func (s *search) tail() int {
	m := 0
	for j := len(s.in.blades) - 1; j >= 0 && s.in.blades[j].moving; j-- {
		m++
	}
	return m - 1
}

// push adds an interval with the lesser of the quick bound and the known one.
func (s *search) push(q *queue, f fences, known score, left *leavings) {
	s.aim(f, left.trailed(), nil)
	quick := s.quick()
	must := s.must()
	quick.Travel += must
	if known.Cmp(&quick) < 0 {
		quick = known
		quick.Travel = max(known.Travel, must)
	}
	if !s.pool.outclassed(&quick, f.lo) {
		e := s.newInterval()
		*e = interval{f: f, bound: quick, left: left.shared()}
		s.growing.queue.to(s.budget, len(*q)+1, 2*unsafe.Sizeof(e)) // and their places once they are done
		heap.Push(q, e)
	}
}
