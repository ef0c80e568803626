package rip

// aim sets the interval of fences at hand and the bounds over it.
func (s *search) aim(f fences, trails [][]int64, open []openKind) {
	s.f = f
	if s.w = f; !s.anchored {
		s.w = fences{}
	}
	s.fenceTravel = max(f.lo-s.in.fence0, s.in.fence0-f.hi, 0)
	s.follow(trails)
	s.allow(open)
	s.aimed++
}

// must is the least move of fence and blades in any plan.
func (s *search) must() int64 {
	if s.anchored {
		return s.fenceTravel
	}
	return s.fenceTravel + s.further[0] + s.nearest(0)
}

// quick bounds all plans over the interval at hand: the blades on either side of the
// anchor separately, but one side can have no more of the quota than the other leaves.
func (s *search) quick() score {
	in := s.in
	if !s.anchored {
		b := s.window(s.anchor)
		sc := s.tails[len(in.blades)-1].over(b.lo, b.hi)
		return s.withNearSide(sc, b.hi)
	}
	rest, before := s.restAt(s.anchor), s.beforeAt()
	states := s.quota.states
	best := rest[states-1]
	best.Add(&before[0])
	for v := range states - 1 {
		other := &before[states-1-v]
		if rest[v].Worth.Add(other.Worth).Cmp(best.Worth) < 0 {
			continue
		}
		sc := rest[v]
		sc.Add(other)
		if sc.Cmp(&best) > 0 {
			best = sc
		}
	}
	alone := s.anchorAlone()
	best.Add(&alone)
	s.quickTolls(&best)
	return best
}

// anchorAlone scores the anchor, with what may lie on its outer side if it is the last or
// the first blade.
func (s *search) anchorAlone() score {
	a := s.window(s.anchor).lo
	sc := s.stand(s.anchor, a)
	if s.anchor == len(s.in.blades)-1 {
		sc.Worth = sc.Worth.Add(s.rerip(a+s.in.kerf, farOut))
	}
	return s.withNearSide(sc, a)
}

// withNearSide adds what may lie between the board's near side and blade 0.
func (s *search) withNearSide(sc score, a int64) score {
	if s.anchor == 0 && (s.in.straight || s.in.reripWidth > 0) {
		return sc.Plus(s.widthBound(fenceFace, a))
	}
	return sc
}
