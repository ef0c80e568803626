package rip

import "math"

// free searches for a saw all of whose blades move. It reports false if it does not have
// all that was asked for, with what it has in the pool: a plan worth nothing may have no
// strip, and those are left to the search for any saw.
//
// The worth of the best cutting is found by asking for a little less each time, starting
// from what the ceiling allows: a network of cuttings worth nearly the ceiling is small,
// and the first that is not empty holds the best. If tolls stand for caps, a dive first
// says how much less to ask for.
func (s *search) free(rests []int64) (bound worth, ok bool) {
	in := s.in
	if !s.ceilingFits(1) {
		return worth{}, false
	}
	c := s.newCeiling()
	if s.over() {
		return in.crude(), true
	}
	c.keepWorst(in)
	k := len(in.blades) - 1
	if in.straight {
		k++ // the edge before blade 0 serves as a blade
	}
	build := c.endless // which mostly is as sharp, since more blades mostly gain nothing
	if s.pool.size > 1 {
		build = c.build
	}
	if !build(s, k) {
		return in.crude(), true
	}
	bound = c.worth(c.top(k))
	open := []fences{{in.fenceLo, in.fenceHi}}
	for len(open) > 0 {
		f := open[len(open)-1]
		open = open[:len(open)-1]
		done, ok := s.freeWithin(c, f, k, rests)
		if s.over() {
			return maxWorth(bound, s.bestWorth()), true
		}
		if !ok {
			return worth{}, false
		}
		if !done {
			if f.single() {
				continue
			}
			mid := f.lo + ((f.hi-f.lo)/in.step/2)*in.step
			open = append(open, fences{mid + in.step, f.hi}, fences{f.lo, mid})
		}
	}
	return s.bestWorth(), s.pool.full() && !s.pool.worst().score.Worth.IsZero()
}

// worth gives the most that a coarse worth can be.
func (c *ceiling) worth(v int64) worth {
	return worth{Hi: v >> (64 - c.shift), Lo: uint64(v) << c.shift}
}

// freeWithin settles all cuttings over an interval of fences that could better the pool.
// They are not done if some of them can only be settled over a narrower one, and it
// reports false if there are too many.
func (s *search) freeWithin(c *ceiling, f fences, k int, rests []int64) (done, ok bool) {
	s.f, s.w = f, fences{}
	t := s.network(c, f)
	defer func() {
		if !s.over() && ok { // otherwise it may be incomplete
			s.nets = append(s.nets, t)
		}
	}()
	less := int64(k + 1) // what rounding may add
	low := int64(0)
	if t.rising = c.tuned && s.pool.size == 1; t.rising {
		low = t.dive()
		if far := c.top(k) - low; !s.over() && !c.exact && far > c.top(k)>>7 && !c.build(s, k) {
			return false, false
		}
	}
	for {
		floor := int64(math.MinInt64)
		if s.pool.full() {
			floor = c.down(s.pool.least())
		}
		need := max(c.top(k)-less, 0, floor)
		if low > 0 { // the bound of many caps is not close enough for coming down from it to pay
			need = max(low, floor)
		}
		if !t.grow(need) && (c.exact || s.over()) {
			return false, false
		}
		goals := t.goals()
		if t.overfull || len(goals) < s.pool.size && need > max(floor, 0) {
			if low > 0 && less > c.top(k) { // what the dive found is not in the network: come down to it
				low, less = 0, 0
			}
			if less = max(4*less+1, c.top(k)>>10); !c.exact && (t.overfull || less > c.top(k)>>8) {
				if less = 0; !c.build(s, k) {
					return false, false
				}
			}
			continue
		}
		u := t.settling(rests)
		done = true
		for i := range goals {
			g := &goals[i]
			if sc := g.score; s.pool.outclassed(&sc, f.lo) {
				break
			}
			if !u.settle(g) {
				done = false
			}
		}
		return done, true
	}
}
