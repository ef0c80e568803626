package rip

import "slices"

// The sweep finds the best plan over an interval of fences, s.f. With a fixed blade it
// works in positions on the arbor, where that blade has one place and the wood lies
// anywhere in an interval, s.w. Without one it works in heights of the board, where the
// wood has one place and the blades' travels lie anywhere in an interval; s.w is then
// zero.
//
// It goes outwards from the anchor, the first fixed blade (or, on a saw without one,
// blade 0 at each of its stops): first away from the datum to the last blade, then back
// from the anchor to blade 0. At each blade it keeps, for every position, the labels that
// no other dominates, and drops those whose bound cannot reach the known plans.

// layer is the labels at one blade, in rising order of position.
type layer []int32

// sweep gives the best score over s.f, and offers complete plans to the pool if s.f is a
// single position. It reports false if nothing in it can better the pool, or the search
// was stopped.
func (s *search) sweep() (best score, ok bool) {
	in := s.in
	s.labels.n = 0
	s.left = s.left[:0]
	s.usages.back(arenaMark{})
	clear(s.usages.add(s))
	last := len(in.blades) - 1

	s.pending = true
	start := s.window(s.anchor)
	s.open(s.anchor)
	stride := in.step
	if s.beam > 0 {
		stride *= max((start.hi-start.lo)/in.step/diveStarts, 1)
	}
	for a := start.lo; a <= start.hi; a += stride {
		if end, dull := s.dull(s.anchor, a, start.lo, start.hi, worth{}); dull {
			a = end
			continue
		}
		if !s.spend(1) {
			return score{}, false
		}
		s.arrive(s.anchor, a, -1, noWant, strip{})
		if !start.moving {
			break
		}
	}
	now := s.collect(s.anchor)
	for j := s.anchor; j < last; j++ {
		if now = s.outward(j, now); now == nil {
			return score{}, false
		}
	}
	if s.anchor > 0 {
		s.pending = false
		now = s.front(now)
		for j := s.anchor; j > 0; j-- {
			if now = s.inward(j, now); now == nil {
				return score{}, false
			}
		}
	}
	return s.finish(now)
}

// finish adds the fence's own travel and offers complete plans.
func (s *search) finish(now layer) (best score, ok bool) {
	for _, i := range now {
		s.tick(1)
		l := s.labels.at(i)
		sc := l.score
		sc.Travel += s.fenceTravel
		if s.f.single() {
			s.trace(l, &s.pathA)
			for j := range s.pathA.blades {
				s.pathA.blades[j] += s.f.lo - s.w.lo
			}
			s.pool.offer(sc, s.f.lo, &s.pathA, l.kind)
			continue
		}
		if s.pool.beaten(&sc, s.f.lo, l.kind) {
			continue
		}
		if s.kinds {
			s.trace(l, &s.pathA)
			s.leave(l.kind)
		}
		if !ok || sc.Cmp(&best) > 0 {
			best, ok = sc, true
		}
	}
	return best, ok
}

// mostWorth is the greatest worth among labels.
func (s *search) mostWorth(now layer) worth {
	var most worth
	s.tick(int64(len(now))/64 + 1)
	for _, i := range now {
		most = maxWorth(most, s.labels.at(i).score.Worth)
	}
	return most
}

// window gives the stops of blade j in the frame of the sweep.
func (s *search) window(j int) blade {
	b := s.in.blades[j]
	b.lo, b.hi = b.lo-(s.f.hi-s.w.hi), b.hi-(s.f.lo-s.w.lo)
	return b
}

// aside lets the outermost blade of a side stand idle within [lo, hi], its neighbour at
// beside. Its position affects only whether it cuts wood and how far it moves, so only
// the stops next to its present place, clipped to either side of the wood, can be best. A
// dive lets any blade stand so, which may leave wood that is fed again.
func (s *search) aside(j int, i int32, beside, lo, hi int64) {
	if lo > hi {
		return
	}
	var stops [12]int64
	all := stops[:0]
	near := s.near(s.in.blades[j].current)
	for _, r := range s.sides(lo, hi) {
		if r[0] > r[1] {
			continue
		}
		for _, a := range near {
			if a = min(max(a, r[0]), r[1]); !slices.Contains(all, a) {
				all = append(all, a)
				s.idle(j, a, i, min(a, beside)+s.in.kerf, max(a, beside))
			}
		}
	}
}

// idle arrives with nothing in the pocket except what may be fed again.
func (s *search) idle(j int, a int64, i int32, left, right int64) {
	s.arrive(j, a, i, noWant, strip{score: score{Worth: s.rerip(left, right)}})
}
