package rip

// Bounds on what is still to come, over the present interval of fences. They
// leave out caps and, beyond the next fixed blade, everything but width.

// prepare sets the bounds that hold for the whole interval: rest[j], for fixed
// blades, is what lies beyond blade j; s.before what lies before the anchor.
func (s *search) prepare() {
	in := s.in
	last := len(in.blades) - 1
	next := -1 // the next fixed blade
	for j := last; j >= s.anchor; j-- {
		if in.blades[j].moving {
			continue
		}
		a := in.blades[j].lo
		switch {
		case j == last:
			s.rest[j] = s.rerip(a+in.kerf, farOut)
		case next < 0:
			s.rest[j] = s.chainBound(j, a)
		case next == j+1:
			s.rest[j] = s.pocketBound(a+in.kerf, in.blades[next].lo).Add(s.rest[next])
		default:
			s.rest[j] = s.widthWorth(a+in.kerf, in.blades[next].lo).Add(s.rest[next])
		}
		next = j
	}
	s.before = worth{}
	if s.anchored {
		s.before = s.leftBound(s.anchor, in.blades[s.anchor].lo)
	}
}

// after bounds what lies beyond blade j standing at a.
func (s *search) after(j int, a int64) worth {
	in := s.in
	last := len(in.blades) - 1
	if j == last {
		return worth{} // scored with the blade itself
	}
	if !in.blades[j].moving {
		return s.rest[j]
	}
	if f := s.nextFixed[j]; f >= 0 {
		return s.widthWorth(a+in.kerf, in.blades[f].lo).Add(s.rest[f])
	}
	return s.tails[last-j].over(a-s.f.hi, a-s.f.lo)
}

// chainBound bounds what lies beyond the last fixed blade: a first pocket, and
// the table from there on.
func (s *search) chainBound(j int, a int64) worth {
	in := s.in
	next := &in.blades[j+1]
	t := &s.tails[len(in.blades)-2-j]
	face := a + in.kerf
	low := max(in.stopUp(face+in.gap), next.lo)
	if low > next.hi {
		return worth{}
	}
	best := t.over(low-s.f.hi, next.hi-s.f.lo)
	if in.reripWidth > 0 {
		// Cheap and loose: the gap and the rest at once.
		best = best.Add(s.widthWorth(face, next.hi))
	}
	for k := range in.wants {
		w := &in.wants[k]
		lo, hi, ok := s.reach(w, face, low, next.hi)
		if !ok {
			continue
		}
		const few = 4
		if (hi-lo)/in.step < few {
			for q := lo; q <= hi; q += in.step {
				if st, ok := s.strip(w, face, q); ok {
					best = maxWorth(best, st.score.worth.Add(t.over(q-s.f.hi, q-s.f.lo)))
				}
			}
			continue
		}
		for q := lo; q <= hi; q += blockLen * in.step {
			end := min(q+(blockLen-1)*in.step, hi)
			n, _ := s.counted(w, s.clamp(face-s.f.lo), q-s.f.hi)
			if n == 0 {
				break
			}
			best = maxWorth(best, w.worth(end-face, n).Add(t.over(q-s.f.hi, end-s.f.lo)))
		}
	}
	return best
}

// leftBound bounds what lies before blade j standing at a.
func (s *search) leftBound(j int, a int64) worth {
	if j == 0 {
		return worth{} // scored with the blade itself
	}
	return s.widthWorth(fenceFace, a)
}

// pocketBound is the greatest worth of one pocket.
func (s *search) pocketBound(left, right int64) worth {
	best := s.rerip(left, right)
	for k := range s.in.wants {
		if st, ok := s.strip(&s.in.wants[k], left, right); ok {
			best = maxWorth(best, st.score.worth)
		}
	}
	return best
}

// widthWorth bounds the worth of all strips between two positions by the width
// between them that is wood.
func (s *search) widthWorth(left, right int64) worth {
	d := min(right-left, right-s.f.lo-s.in.outerLo, s.in.outerHi-left+s.f.hi, s.in.outerHi-s.in.outerLo)
	if d <= 0 {
		return worth{}
	}
	return times(s.in.perWidth, d)
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
	if s.in.straight && face < s.f.hi {
		from, to = max(face, s.f.lo)+w.lo, max(face, s.f.hi)+w.hi
	}
	lo, hi = max(s.in.stopUp(from), low), min(s.in.stopDown(to), high)
	return lo, hi, lo <= hi
}
