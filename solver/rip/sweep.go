package rip

// The sweep finds the best plan over an interval of fences, s.f. With a fixed
// blade it works in positions on the arbor, where that blade stands still and
// the wood lies anywhere in an interval, s.w. Without one it works in heights of
// the board, where the wood lies still and it is the blades' travels that lie
// anywhere in an interval; s.w is zero then.
//
// It goes outwards
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
	last := len(in.blades) - 1

	s.pending = s.before
	start := s.window(s.anchor)
	s.open(s.anchor)
	for a := start.lo; a <= start.hi; a += in.step {
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
		s.pending = score{}
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
	for _, i := range now {
		l := &s.labels[i]
		sc := l.score
		sc.travel += s.fenceTravel
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
		if !ok || sc.cmp(&best) > 0 {
			best, ok = sc, true
		}
	}
	return best, ok
}

// outward goes from the labels at blade j to those at the next blade.
func (s *search) outward(j int, now layer) layer {
	in := s.in
	to := s.window(j + 1)
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
		most := s.mostWorth(now)
		for q := to.lo; q <= to.hi; q += in.step {
			if end, dull := s.dull(j+1, q, to.lo, to.hi, most); dull {
				q = end
				continue
			}
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

// mostWorth is the greatest worth among labels.
func (s *search) mostWorth(now layer) worth {
	var most worth
	for _, i := range now {
		most = maxWorth(most, s.labels[i].score.worth)
	}
	return most
}

// dull reports whether blade j, standing anywhere in the block of stops that
// starts at a, cannot reach the plans already known with most before it; it
// gives the block's last stop.
func (s *search) dull(j int, a, lo, hi int64, most worth) (end int64, dull bool) {
	step := s.in.step
	if (a-lo)%(blockLen*step) != 0 || !s.pool.full() || j == 0 && (s.in.straight || s.in.reripWidth > 0) {
		return 0, false
	}
	end = min(a+(blockLen-1)*step, hi)
	up := most.Add(s.pending.worth).Add(s.afterSpan(j, a, end).worth)
	return end, up.Cmp(s.pool.least()) < 0
}

// dullLeft is dull for blades before the anchor, in blocks from above.
func (s *search) dullLeft(j int, a, lo, hi int64, most worth) (end int64, dull bool) {
	step := s.in.step
	if (hi-a)%(blockLen*step) != 0 || !s.pool.full() {
		return 0, false
	}
	end = max(a-(blockLen-1)*step, lo)
	up := most.Add(s.heads[j].over(end-s.w.hi, a-s.w.lo).worth)
	return end, up.Cmp(s.pool.least()) < 0
}

// window gives the stops of blade j in the frame of the sweep.
func (s *search) window(j int) blade {
	b := s.in.blades[j]
	b.lo, b.hi = b.lo-(s.f.hi-s.w.hi), b.hi-(s.f.lo-s.w.lo)
	return b
}

// hopeless reports whether a block of widths of a range starting at q cannot
// reach the plans already known.
func (s *search) hopeless(i int32, w *want, j int, face, q, hi int64) bool {
	end := min(q+(blockLen-1)*s.in.step, hi)
	n, _ := s.counted(w, s.clamp(face-s.w.lo), q-s.w.hi)
	if n == 0 {
		return true
	}
	l := &s.labels[i]
	up := l.score.worth.Add(w.worth(min(end-face, w.hi), n)).Add(s.pending.worth)
	if f := s.nextFixed[j]; f >= 0 {
		up = up.Add(s.widthBound(q+s.in.kerf, s.in.blades[f].lo).worth).Add(s.fromFixed(f).worth)
	} else {
		up = up.Add(s.tails[len(s.in.blades)-1-j].over(q-s.w.hi, end-s.w.lo).worth)
	}
	return up.Cmp(s.pool.least()) < 0
}

// hopelessLeft is hopeless for a blade before the pocket.
func (s *search) hopelessLeft(i int32, w *want, j int, a, q, hi int64) bool {
	in := s.in
	end := min(q+(blockLen-1)*in.step, hi)
	n, _ := s.counted(w, s.clamp(end+in.kerf-s.w.lo), a-s.w.hi)
	if n == 0 {
		return true
	}
	up := s.labels[i].score.worth.Add(w.worth(min(a-in.kerf-q, w.hi), n))
	up = up.Add(s.heads[j].over(q-s.w.hi, end-s.w.lo).worth)
	return up.Cmp(s.pool.least()) < 0
}

// inward goes from the labels at blade j to those at the blade before it.
func (s *search) inward(j int, now layer) layer {
	in := s.in
	to := s.window(j - 1)
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
			lo, hi := s.reachLeft(w, a, to.lo, high)
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

// aside lets the outermost blade of a side stand idle within [lo, hi]. Nothing
// depends on its position but whether it cuts wood and how far it moves, so the
// stops next to where it stands, clipped to either side of the wood, are all
// that can be best.
func (s *search) aside(j int, i int32, lo, hi int64) {
	if lo > hi {
		return
	}
	c := s.in.blades[j].current
	for _, r := range s.sides(lo, hi) {
		if r[0] > r[1] {
			continue
		}
		for _, a := range s.near(c) {
			s.arrive(j, min(max(a, r[0]), r[1]), i, noWant, strip{})
		}
	}
}

// idle arrives with nothing in the pocket but what may be fed again.
func (s *search) idle(j int, a int64, i int32, left, right int64) {
	s.arrive(j, a, i, noWant, strip{score: score{worth: s.rerip(left, right)}})
}
