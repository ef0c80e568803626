package rip

// Bounds on the pocket between a fixed blade and a moving one beside it, wherever the
// moving one stands, together with what lies beyond it.

// chainBound bounds what lies beyond a fixed blade that a moving one follows: the pocket
// between them, and the bound from there on.
func (s *search) chainBound(to row, j int, a int64) {
	in := s.in
	next := &in.blades[j+1]
	face := a + in.kerf
	low := max(in.stopUp(face+in.gap), next.lo)
	if low > next.hi {
		clear(to)
		return
	}
	rest := s.spare[2*j].row
	s.afterRow(rest, j+1, low, next.hi)
	idle := s.idleBound(j+1, low, next.hi)
	if in.reripWidth > 0 { // cheap and loose: the gap and the rest at once
		wide := s.widthBound(face, next.hi)
		idle.Add(&wide)
	}
	copy(to, rest)
	for v := range to {
		to[v].Add(&idle)
	}
	for _, k := range in.byTop {
		w := &in.wants[k]
		if to.beyond(w.top, rest) {
			break // the same holds for those that follow
		}
		lo, hi, ok := s.reach(w, face, low, next.hi)
		if !ok {
			continue
		}
		s.chainSpan(to, rest, w, j, face, lo, hi)
	}
}

// fewStops are tried one by one rather than bounded together first.
const fewStops = 4

// chainSpan is chainBound for the strips of a want that end at a blade anywhere in [lo,
// hi]; rest bounds what lies beyond any stop of the blade. Its halves are searched only
// if they could exceed what the stop between them gives.
func (s *search) chainSpan(to, rest row, w *want, j int, face, lo, hi int64) {
	step := s.in.step
	if hi-lo < fewStops*step {
		for q := hi; q >= lo; q -= step {
			s.chainAt(to, rest, w, j, face, q)
		}
		return
	}
	c := s.counted(w, s.clamp(face-s.w.lo), lo-s.w.hi)
	after := s.spare[2*j+1].row
	s.afterRow(after, j+1, lo, hi)
	if c.n == 0 || to.beyond(w.worth(min(hi-face, w.hi), c), after) {
		return
	}
	mid := lo + (hi-lo)/step/2*step
	s.chainAt(to, rest, w, j, face, mid)
	s.chainSpan(to, rest, w, j, face, mid+step, hi)
	s.chainSpan(to, rest, w, j, face, lo, mid-step)
}

// chainAt is chainBound for one strip, which ends at a blade at q; rest bounds what lies
// beyond any stop of the blade.
func (s *search) chainAt(to, rest row, w *want, j int, face, q int64) {
	st, ok := s.strip(w, face, q)
	if !ok || to.beyond(st.score.Worth, rest) {
		return
	}
	after := s.spare[2*j+1].row
	s.afterRow(after, j+1, q, q)
	own := s.stand(j+1, q)
	st.score.Add(&own)
	s.raise(to, w, &st, after)
}

// leftChain bounds what lies before the anchor: the pocket before it, and the table from
// there on, which ignores caps.
func (s *search) leftChain(to row, j int, a int64) {
	in := s.in
	prev := &in.blades[j-1]
	high := min(prev.hi, in.stopDown(a-in.kerf-in.gap))
	if high < prev.lo {
		clear(to)
		return
	}
	most := s.headBound(j, prev.lo, high)
	idle := s.idleBound(j-1, prev.lo, high)
	idle.Add(&most)
	if in.reripWidth > 0 {
		wide := s.widthBound(prev.lo, a)
		idle.Add(&wide)
	}
	for v := range to {
		to[v] = idle
	}
	for _, k := range in.byTop {
		w := &in.wants[k]
		if to.below(w.top.Add(most.Worth)) {
			break
		}
		lo, hi := s.reachLeft(w, a, prev.lo, high)
		s.leftSpan(to, &most, w, j, lo, hi, a)
	}
}

// leftSpan is leftChain for the strips of a want that begin at a blade anywhere in [lo,
// hi]; most bounds what lies before any stop of the blade.
func (s *search) leftSpan(to row, most *score, w *want, j int, lo, hi, a int64) {
	step := s.in.step
	if hi-lo < fewStops*step {
		for q := lo; q <= hi; q += step {
			s.leftAt(to, most, w, j, q, a)
		}
		return
	}
	c := s.counted(w, s.clamp(hi+s.in.kerf-s.w.lo), a-s.w.hi)
	if c.n == 0 || to.below(w.worth(min(a-s.in.kerf-lo, w.hi), c).Add(s.headBound(j, lo, hi).Worth)) {
		return
	}
	mid := lo + (hi-lo)/step/2*step
	s.leftAt(to, most, w, j, mid, a)
	s.leftSpan(to, most, w, j, lo, mid-step, a)
	s.leftSpan(to, most, w, j, mid+step, hi, a)
}

// leftAt is leftChain for one strip, which begins at a blade at q; most bounds what lies
// before any stop of the blade.
func (s *search) leftAt(to row, most *score, w *want, j int, q, a int64) {
	st, ok := s.strip(w, q+s.in.kerf, a)
	if !ok || to.below(st.score.Worth.Add(most.Worth)) {
		return
	}
	own, before := s.stand(j-1, q), s.headBound(j, q, q)
	st.score.Add(&own)
	st.score.Add(&before)
	for v := range to {
		if st.score.Worth.Cmp(to[v].Worth) >= 0 && s.quota.after(v, w, st.amount) >= 0 && st.score.Cmp(&to[v]) > 0 {
			to[v] = st.score
		}
	}
}

// headBound bounds what lies before the blade before blade j standing anywhere in
// [a, b].
func (s *search) headBound(j int, a, b int64) score {
	return s.heads[j-1].over(a-s.w.hi, b-s.w.lo)
}
