package rip

// dullLeft is dull for blades before the anchor, in blocks from above.
func (s *search) dullLeft(j int, a, lo, hi int64, most worth) (end int64, dull bool) {
	step := s.in.step
	if (hi-a)%(blockLen*step) != 0 || !s.pool.full() {
		return 0, false
	}
	end = max(a-(blockLen-1)*step, lo)
	up := most.Add(s.heads[j].most(end-s.w.hi, a-s.w.lo))
	return end, up.Cmp(s.pool.least()) < 0
}

// hopelessLeft is hopeless for a blade before the pocket.
func (s *search) hopelessLeft(i int32, w *want, j int, a, q, hi int64) bool {
	in := s.in
	end := min(q+(blockLen-1)*in.step, hi)
	c := s.counted(w, s.clamp(end+in.kerf-s.w.lo), a-s.w.hi)
	if c.n == 0 {
		return true
	}
	l := s.labels.at(i)
	own := l.score.Worth.Add(w.worth(min(a-in.kerf-q, w.hi), c))
	if up := own.Add(s.heads[j].most(q-s.w.hi, end-s.w.lo)); up.Cmp(s.pool.least()) < 0 {
		return true
	}
	v, ok := s.tolledSpan(j, q, end, own, l.paid)
	return ok && v < s.ceil.down(s.pool.least())
}

// inward extends the labels at blade j to the blade before it.
func (s *search) inward(j int, now layer) layer {
	in := s.in
	to := s.window(j - 1)
	s.open(j - 1)
	end := s.beam > 0 || j-1 == 0 && in.reripWidth == 0 && !in.straight && in.gapless
	here := func(i int32) int64 {
		if j == s.anchor {
			return in.blades[j].lo
		}
		return s.labels.at(i).a
	}
	for _, i := range now {
		if !s.spend(int64(len(in.wants)) + 1) {
			return nil
		}
		a := here(i)
		high := min(to.hi, in.stopDown(a-in.kerf-in.gap))
		for k := range in.wants {
			w := &in.wants[k]
			lo, hi := s.reachLeft(w, a, to.lo, high)
			if s.beam > 0 {
				hi = min(hi, lo+diveStops*in.step)
			}
			for q := lo; q <= hi; q += in.step {
				if hi-q > 4*in.step && (q-lo)%(blockLen*in.step) == 0 && s.hopelessLeft(i, w, j-1, a, q, hi) {
					q += (blockLen - 1) * in.step
					continue
				}
				if !s.spend(1) {
					return nil
				}
				if st, ok := s.strip(w, q+in.kerf, a); ok {
					s.arrive(j-1, q, i, int16(k), st)
				}
			}
		}
		switch {
		case end:
			s.aside(j-1, i, a, to.lo, high)
		case in.reripWidth > 0:
			for q := to.lo; q <= high; q += in.step {
				if !s.spend(1) {
					return nil
				}
				s.idle(j-1, q, i, q+in.kerf, a)
			}
		}
	}
	if !end && in.reripWidth == 0 {
		s.runner = s.runner[:0]
		k := len(now) - 1
		most := s.mostWorth(now)
		for q := to.hi; q >= to.lo; q -= in.step {
			if end, dull := s.dullLeft(j-1, q, to.lo, to.hi, most); dull {
				q = end
				continue
			}
			if !s.spend(1) {
				return nil
			}
			for k >= 0 && here(now[k])-in.kerf-in.gap >= q {
				s.runner = s.join(s.runner, now[k])
				k--
			}
			for _, i := range s.runner {
				s.arrive(j-1, q, i, noWant, strip{})
			}
		}
	}
	return s.collect(j - 1)
}
