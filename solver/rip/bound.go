package rip

// Bounds on what is still to come, over the present interval of fences. They
// leave out caps. Beyond the next pocket they know of moving blades only what
// the tables say, and between two fixed blades or before the first one only how
// much width there is.

// prepare sets the bounds that hold for the whole interval: rest[j], for fixed
// blades, is what lies beyond blade j; s.before what lies before the anchor.
func (s *search) prepare() {
	in := s.in
	next := -1 // the next fixed blade
	for j := len(in.blades) - 1; j >= s.anchor; j-- {
		if in.blades[j].moving {
			continue
		}
		a := in.blades[j].lo
		switch {
		case j == len(in.blades)-1:
			s.rest[j] = score{} // scored with the blade itself
		case next == j+1:
			s.rest[j] = s.pocketBound(a+in.kerf, in.blades[next].lo).plus(s.fromFixed(next))
		default:
			s.rest[j] = s.chainBound(j, a)
		}
		next = j
	}
	s.before = score{}
	if s.anchored && s.anchor > 0 {
		s.before = s.leftChain(s.anchor, in.blades[s.anchor].lo)
	}
}

// after bounds what lies beyond blade j standing at a.
func (s *search) after(j int, a int64) score { return s.afterSpan(j, a, a) }

// afterSpan bounds what lies beyond blade j standing anywhere in [a, b].
func (s *search) afterSpan(j int, a, b int64) score {
	in := s.in
	last := len(in.blades) - 1
	if j == last { // for a label this counts twice what is scored with the blade
		return score{worth: s.rerip(a+in.kerf, farOut)}
	}
	if !in.blades[j].moving {
		return s.rest[j]
	}
	f := s.nextFixed[j]
	switch {
	case f < 0:
		return s.tails[last-j].over(a-s.w.hi, b-s.w.lo)
	case f == j+1 && in.reripWidth == 0 && !in.straight:
		return s.gapBound(a+in.kerf, b+in.kerf, in.blades[f].lo).plus(s.fromFixed(f))
	}
	return s.widthBound(a+in.kerf, in.blades[f].lo).plus(s.fromFixed(f))
}

// fromFixed bounds fixed blade j itself with what lies beyond it.
func (s *search) fromFixed(j int) score {
	sc := s.stand(j, s.in.blades[j].lo).plus(s.rest[j])
	if j == len(s.in.blades)-1 {
		sc.worth = sc.worth.Add(s.rerip(s.in.blades[j].lo+s.in.kerf, farOut))
	}
	return sc
}

// gapBound bounds the one pocket that starts in [left0, left1] and ends at
// right.
func (s *search) gapBound(left0, left1, right int64) score {
	var best score
	for _, k := range s.in.byTop {
		w := &s.in.wants[k]
		if w.top.Cmp(best.worth) < 0 {
			break
		}
		wide, narrow := min(right-left0, w.hi), max(right-left1, w.lo)
		if wide < narrow {
			continue
		}
		if n, _ := s.counted(w, left1-s.w.lo, right-s.w.hi); n > 0 {
			if up := w.worth(wide, n); up.Cmp(best.worth) >= 0 {
				best = score{worth: up, area: unknownArea}
			}
		}
	}
	return best
}

// chainBound bounds what lies beyond a fixed blade that a moving one follows:
// the pocket between them, and the bound from there on.
func (s *search) chainBound(j int, a int64) score {
	in := s.in
	next := &in.blades[j+1]
	face := a + in.kerf
	low := max(in.stopUp(face+in.gap), next.lo)
	if low > next.hi {
		return score{}
	}
	rest := s.afterSpan(j+1, low, next.hi)
	best := s.idleBound(j+1, low, next.hi).plus(rest)
	if in.reripWidth > 0 { // cheap and loose: the gap and the rest at once
		best = best.plus(s.widthBound(face, next.hi))
	}
	for _, k := range in.byTop {
		w := &in.wants[k]
		if w.top.Add(rest.worth).Cmp(best.worth) < 0 {
			break // and so for those that follow
		}
		lo, hi, ok := s.reach(w, face, low, next.hi)
		if !ok {
			continue
		}
		for q := hi; q >= lo; q -= in.step {
			if (hi-q)%(blockLen*in.step) == 0 && q-lo > 4*in.step {
				start := max(q-(blockLen-1)*in.step, lo)
				n, _ := s.counted(w, s.clamp(face-s.w.lo), start-s.w.hi)
				up := w.worth(min(q-face, w.hi), n).Add(s.afterSpan(j+1, start, q).worth)
				if n == 0 || up.Cmp(best.worth) < 0 {
					q = start
					continue
				}
			}
			if st, ok := s.strip(w, face, q); ok {
				sc := st.score.plus(s.stand(j+1, q)).plus(s.afterSpan(j+1, q, q))
				if sc.cmp(&best) > 0 {
					best = sc
				}
			}
		}
	}
	return best
}

// leftChain bounds what lies before the anchor: the pocket before it, and the
// table from there on.
func (s *search) leftChain(j int, a int64) score {
	in := s.in
	to := &in.blades[j-1]
	high := min(to.hi, in.stopDown(a-in.kerf-in.gap))
	if high < to.lo {
		return score{}
	}
	t := &s.heads[j-1]
	rest := func(a, b int64) score { return t.over(a-s.w.hi, b-s.w.lo) }
	most := rest(to.lo, high)
	best := s.idleBound(j-1, to.lo, high).plus(most)
	if in.reripWidth > 0 {
		best = best.plus(s.widthBound(to.lo, a))
	}
	for _, k := range in.byTop {
		w := &in.wants[k]
		if w.top.Add(most.worth).Cmp(best.worth) < 0 {
			break
		}
		lo, hi := s.reachLeft(w, a, to.lo, high)
		for q := lo; q <= hi; q += in.step {
			if (q-lo)%(blockLen*in.step) == 0 && hi-q > 4*in.step {
				end := min(q+(blockLen-1)*in.step, hi)
				n, _ := s.counted(w, s.clamp(end+in.kerf-s.w.lo), a-s.w.hi)
				up := w.worth(min(a-in.kerf-q, w.hi), n).Add(rest(q, end).worth)
				if n == 0 || up.Cmp(best.worth) < 0 {
					q = end
					continue
				}
			}
			if st, ok := s.strip(w, q+in.kerf, a); ok {
				sc := st.score.plus(s.stand(j-1, q)).plus(rest(q, q))
				if sc.cmp(&best) > 0 {
					best = sc
				}
			}
		}
	}
	return best
}

// idleBound is the best that blade j can do standing idle within [lo, hi].
func (s *search) idleBound(j int, lo, hi int64) score {
	c := s.in.blades[j].current
	best := score{blades: 2}
	for _, r := range s.sides(lo, hi) {
		if r[0] > r[1] {
			continue
		}
		for _, a := range s.near(c) {
			if sc := s.stand(j, min(max(a, r[0]), r[1])); sc.cmp(&best) > 0 {
				best = sc
			}
		}
	}
	if !s.in.gapless {
		best.blades = 0
		best.travel = 0
	}
	return best
}

// near gives the stops next to arbor position c, in the frame of the sweep,
// where it may lie anywhere in an interval.
func (s *search) near(c int64) [4]int64 {
	lo, hi := c-(s.f.hi-s.w.hi), c-(s.f.lo-s.w.lo)
	return [4]int64{s.in.stopDown(lo), s.in.stopUp(lo), s.in.stopDown(hi), s.in.stopUp(hi)}
}

// sides gives the whole of [lo, hi], the part of it before the wood and the
// part beyond it.
func (s *search) sides(lo, hi int64) [3][2]int64 {
	in := s.in
	return [3][2]int64{
		{lo, hi},
		{lo, min(hi, in.stopDown(in.woodLo-in.kerf+s.w.hi))},
		{max(lo, in.stopUp(in.woodHi+s.w.lo)), hi},
	}
}

// beforeBlade bounds what lies before blade j standing at a, j left of the
// anchor.
func (s *search) beforeBlade(j int, a int64) score {
	if j == 0 {
		return score{} // scored with the blade itself
	}
	return s.heads[j].over(a-s.w.hi, a-s.w.lo)
}

// pocketBound is the greatest score of one pocket.
func (s *search) pocketBound(left, right int64) score {
	best := score{worth: s.rerip(left, right)}
	for _, k := range s.in.byTop {
		w := &s.in.wants[k]
		if w.top.Cmp(best.worth) < 0 {
			break
		}
		if st, ok := s.strip(w, left, right); ok && st.score.cmp(&best) > 0 {
			best = st.score
		}
	}
	return best
}

// unknownArea stands for an area that nothing is known of: above that of the
// largest board, and small enough to be added up over all blades.
const unknownArea = int64(100_000_000_000_000_000)

// widthBound bounds the score of all strips between two positions by the width
// between them that is wood.
func (s *search) widthBound(left, right int64) score {
	d := min(right-left, right-s.w.lo-s.in.outerLo, s.in.outerHi-left+s.w.hi, s.in.outerHi-s.in.outerLo)
	if d <= 0 {
		return score{}
	}
	return score{worth: times(s.in.perWidth, d), area: unknownArea}
}

// clamp brings a left face to the straight edge.
func (s *search) clamp(y int64) int64 {
	if s.in.straight {
		return max(y, 0)
	}
	return y
}

// reach gives the stops in [low, high] at which a blade bounds a pocket that
// want w fits, the pocket starting at face. Beside a straight edge that the
// fence has passed the width is counted from the edge.
func (s *search) reach(w *want, face, low, high int64) (lo, hi int64, ok bool) {
	from, to := face+w.lo, face+w.hi
	if s.in.straight && face < s.w.hi {
		from, to = max(face, s.w.lo)+w.lo, max(face, s.w.hi)+w.hi
	}
	lo, hi = max(s.in.stopUp(from), low), min(s.in.stopDown(to), high)
	return lo, hi, lo <= hi
}

// reachLeft is reach for the blade before a pocket that ends at a.
func (s *search) reachLeft(w *want, a, low, high int64) (lo, hi int64) {
	in := s.in
	lo, hi = max(in.stopUp(a-in.kerf-w.hi), low), min(in.stopDown(a-in.kerf-w.lo), high)
	if in.straight && low+in.kerf < s.w.hi {
		lo = low // any blade that the fence has passed will do
	}
	return lo, hi
}
