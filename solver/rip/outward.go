package rip

// outward extends the labels at blade j to the next blade.
func (s *search) outward(j int, now layer) layer {
	in := s.in
	to := s.window(j + 1)
	s.open(j + 1)
	// A dive does not look for the best place to stand idle.
	end := s.beam > 0 || j+1 == len(in.blades)-1 && s.asideAtEnd()
	// Before a fixed blade, a label that arrives idle either stays so or begins a strip
	// that ends there.
	between := to.moving && !end && in.reripWidth == 0 && in.gapless && !in.straight && s.nextFixed[j+1] == j+2
	for _, i := range now {
		if !s.spend(int64(len(in.wants)) + 1) {
			return nil
		}
		a := s.labels.at(i).a
		face := a + in.kerf
		low := to.lo
		if to.moving {
			low = max(low, in.stopUp(face+in.gap))
		}
		for k := range in.wants {
			w := &in.wants[k]
			if !to.moving {
				if st, ok := s.strip(w, face, to.lo); ok {
					s.arrive(j+1, to.lo, i, int16(k), st)
				}
				continue
			}
			lo, hi, ok := s.reach(w, face, low, to.hi)
			if !ok {
				continue
			}
			if s.beam > 0 {
				lo = max(lo, hi-diveStops*in.step)
			}
			for q := lo; q <= hi; q += in.step {
				if hi-q > 4*in.step && (q-lo)%(blockLen*in.step) == 0 && s.hopeless(i, w, j+1, face, q, hi) {
					q += (blockLen - 1) * in.step
					continue
				}
				if !s.spend(1) {
					return nil
				}
				if st, ok := s.strip(w, face, q); ok {
					s.arrive(j+1, q, i, int16(k), st)
				}
			}
		}
		switch {
		case !to.moving:
			s.idle(j+1, to.lo, i, face, to.lo)
		case end || between:
			s.aside(j+1, i, a, low, to.hi)
		case in.reripWidth > 0:
			for q := low; q <= to.hi; q += in.step {
				if !s.spend(1) {
					return nil
				}
				s.idle(j+1, q, i, face, q)
			}
		}
	}
	if to.moving && !end && in.reripWidth == 0 {
		s.runner = s.runner[:0]
		k := 0
		most := s.mostWorth(now)
		for q := to.lo; q <= to.hi; q += in.step {
			if end, dull := s.dull(j+1, q, to.lo, to.hi, most); dull {
				q = end
				continue
			}
			s.tick(1)
			if between && !s.begins(q, j+2) {
				continue
			}
			if !s.spend(1) {
				return nil
			}
			for k < len(now) && s.labels.at(now[k]).a+in.kerf+in.gap <= q {
				s.runner = s.join(s.runner, now[k])
				k++
			}
			for _, i := range s.runner {
				s.arrive(j+1, q, i, noWant, strip{})
			}
		}
	}
	return s.collect(j + 1)
}

// asideAtEnd reports whether the place of an idle last blade affects only travel and
// whether it cuts wood.
func (s *search) asideAtEnd() bool { return s.in.reripWidth == 0 && s.in.gapless }

// begins reports whether some want fits between a blade at a and fixed blade f.
func (s *search) begins(a int64, f int) bool {
	width := s.in.blades[f].lo - a - s.in.kerf
	s.tick(int64(len(s.in.wants)) / 32)
	for i := range s.in.wants {
		if s.in.wants[i].fits(width) {
			return true
		}
	}
	return false
}

// dull reports whether blade j, standing anywhere in the block of stops that starts at a,
// with most before it, cannot reach the known plans; it gives the block's last stop.
func (s *search) dull(j int, a, lo, hi int64, most worth) (end int64, dull bool) {
	step := s.in.step
	if (a-lo)%(blockLen*step) != 0 || !s.pool.full() || j == 0 && (s.in.straight || s.in.reripWidth > 0) {
		return 0, false
	}
	end = min(a+(blockLen-1)*step, hi)
	up := most.Add(s.pendingWorth()).Add(s.mostAfter(j, a, end))
	return end, up.Cmp(s.pool.least()) < 0
}

// hopeless reports whether a block of widths of a range starting at q cannot reach the
// known plans.
func (s *search) hopeless(i int32, w *want, j int, face, q, hi int64) bool {
	end := min(q+(blockLen-1)*s.in.step, hi)
	c := s.counted(w, s.clamp(face-s.w.lo), q-s.w.hi)
	if c.n == 0 {
		return true
	}
	l := s.labels.at(i)
	up := l.score.Worth.Add(w.worth(min(end-face, w.hi), c)).Add(s.pendingWorth())
	if f := s.nextFixed[j]; f >= 0 {
		up = up.Add(s.widthBound(q+s.in.kerf, s.in.blades[f].lo).Worth).Add(s.fromFixed(f, s.quota.states).Worth)
	} else {
		up = up.Add(s.tails[len(s.in.blades)-1-j].most(q-s.w.hi, end-s.w.lo))
	}
	if up.Cmp(s.pool.least()) < 0 {
		return true
	}
	if s.ceil == nil {
		return false
	}
	up = l.score.Worth.Add(w.worth(min(end-face, w.hi), c))
	v, ok := s.tolledSpan(j, q, end, up, l.paid)
	return ok && v < s.ceil.down(s.pool.least())
}

// pendingWorth bounds the worth of what lies before the anchor while that is still to
// come.
func (s *search) pendingWorth() worth {
	if !s.pending {
		return worth{}
	}
	return s.beforeAt()[s.quota.states].Worth
}
