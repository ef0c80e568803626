package rip

// The sweep finds the best plan over an interval of fences. It goes outwards
// from the anchor, the first fixed blade (or, on a saw without one, blade 0 at
// each of its stops): first away from the datum to the last blade, then back
// from the anchor to blade 0. At each blade it keeps, for every position, the
// labels that no other covers, and drops those whose bound cannot reach the
// plans already known.

// layer is the labels at one blade, in rising order of position.
type layer []int32

// sweep gives the best score over s.f, and offers complete plans to the pool
// where s.f is a single position. It reports false where nothing in it can
// better the pool, or the search was stopped.
func (s *search) sweep() (best score, ok bool) {
	in := s.in
	s.labels = s.labels[:0]
	s.arena = append(s.arena[:0], make([]uses, in.caps)...)
	s.prepare()
	last := len(in.blades) - 1

	s.pending = s.before
	start := &in.blades[s.anchor]
	s.open(s.anchor)
	for a := start.lo; a <= start.hi; a += in.step {
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
		s.pending = worth{}
		now = s.front(now)
		for j := s.anchor; j > 0; j-- {
			if now = s.inward(j, now); now == nil {
				return score{}, false
			}
		}
	}
	return s.finish(now)
}

// finish adds the fence's own travel and offers what is complete.
func (s *search) finish(now layer) (best score, ok bool) {
	d := max(s.f.lo-s.in.fence0, s.in.fence0-s.f.hi, 0)
	for _, i := range now {
		l := &s.labels[i]
		sc := l.score
		sc.travel += d
		if s.f.single() {
			s.trace(l, &s.pathA)
			s.pool.offer(sc, s.f.lo, &s.pathA, l.kind)
			continue
		}
		if s.pool.beaten(&sc, s.f.lo, l.kind) {
			continue
		}
		if !ok || sc.cmp(&best) > 0 {
			best, ok = sc, true
		}
	}
	return best, ok
}

// outward goes from the labels at blade j to those at the next blade.
func (s *search) outward(j int, now layer) layer {
	in := s.in
	to := &in.blades[j+1]
	s.open(j + 1)
	end := j+1 == len(in.blades)-1 && in.reripWidth == 0 && in.gapless
	for _, i := range now {
		if !s.spend(int64(len(in.wants)) + 1) {
			return nil
		}
		a := s.labels[i].a
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
		case end:
			s.aside(j+1, i, low, to.hi)
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
		for q := to.lo; q <= to.hi; q += in.step {
			if !s.spend(1) {
				return nil
			}
			for k < len(now) && s.labels[now[k]].a+in.kerf+in.gap <= q {
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

// hopeless reports whether a block of widths of a range starting at q cannot
// reach the plans already known.
func (s *search) hopeless(i int32, w *want, j int, face, q, hi int64) bool {
	end := min(q+(blockLen-1)*s.in.step, hi)
	n, _ := s.counted(w, s.clamp(face-s.f.lo), q-s.f.hi)
	if n == 0 {
		return true
	}
	l := &s.labels[i]
	up := l.score.worth.Add(w.worth(min(end-face, w.hi), n)).Add(s.pending)
	if f := s.nextFixed[j]; f >= 0 {
		up = up.Add(s.widthWorth(q+s.in.kerf, s.in.blades[f].lo)).Add(s.rest[f])
	} else {
		up = up.Add(s.tails[len(s.in.blades)-1-j].over(q-s.f.hi, end-s.f.lo))
	}
	return up.Cmp(s.pool.least()) < 0
}

// inward goes from the labels at blade j to those at the blade before it.
func (s *search) inward(j int, now layer) layer {
	in := s.in
	to := &in.blades[j-1]
	s.open(j - 1)
	end := j-1 == 0 && in.reripWidth == 0 && !in.straight && in.gapless
	here := func(i int32) int64 {
		if j == s.anchor {
			return in.blades[j].lo
		}
		return s.labels[i].a
	}
	for _, i := range now {
		if !s.spend(int64(len(in.wants)) + 1) {
			return nil
		}
		a := here(i)
		high := min(to.hi, in.stopDown(a-in.kerf-in.gap))
		for k := range in.wants {
			w := &in.wants[k]
			lo, hi := max(in.stopUp(a-in.kerf-w.hi), to.lo), min(in.stopDown(a-in.kerf-w.lo), high)
			if in.straight && to.lo+in.kerf < s.f.hi {
				lo = to.lo
			}
			for q := lo; q <= hi; q += in.step {
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
			s.aside(j-1, i, to.lo, high)
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
		for q := to.hi; q >= to.lo; q -= in.step {
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

// aside lets the outermost blade of a side stand idle within [lo, hi]. Nothing
// depends on its position but whether it cuts wood and how far it moves, so the
// stops next to where it stands, clipped to either side of the wood, are all
// that can be best.
func (s *search) aside(j int, i int32, lo, hi int64) {
	if lo > hi {
		return
	}
	in := s.in
	c := in.blades[j].current
	off := [3][2]int64{
		{lo, hi},
		{lo, min(hi, in.stopDown(in.woodLo-in.kerf+s.f.hi))},
		{max(lo, in.stopUp(in.woodHi+s.f.lo)), hi},
	}
	for _, r := range off {
		if r[0] > r[1] {
			continue
		}
		s.arrive(j, min(max(in.stopDown(c), r[0]), r[1]), i, noWant, strip{})
		s.arrive(j, min(max(in.stopUp(c), r[0]), r[1]), i, noWant, strip{})
	}
}

// idle arrives with nothing in the pocket but what may be fed again.
func (s *search) idle(j int, a int64, i int32, left, right int64) {
	s.arrive(j, a, i, noWant, strip{score: score{worth: s.rerip(left, right)}})
}
