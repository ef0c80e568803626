package rip

// Bounds on one pocket together with what lies beyond it.

// pocketBound bounds what lies between a face at left and fixed blade f, and beyond.
func (s *search) pocketBound(to row, left int64, f int) {
	right := s.in.blades[f].lo
	rest := s.fixedRow(f)
	copy(to, rest)
	if again := s.rerip(left, right); !again.IsZero() {
		for v := range to {
			to[v].Worth = to[v].Worth.Add(again)
		}
	}
	for _, k := range s.fits(f-1, right-left) {
		w := &s.in.wants[k]
		if to.beyond(w.top, rest) {
			break // the same holds for those that follow
		}
		if st, ok := s.strip(w, left, right); ok {
			s.raise(to, w, &st, rest)
		}
	}
}

// beyond reports whether no strip worth at most top, with the rest to come, can raise the
// row.
func (to row) beyond(top worth, rest row) bool {
	for v := len(to) - 1; v >= 0; v-- {
		if top.Add(rest[v].Worth).Cmp(to[v].Worth) >= 0 {
			return false
		}
	}
	return true
}

// below reports whether all entries of a row are worth more than w.
func (to row) below(w worth) bool {
	for v := len(to) - 1; v >= 0; v-- {
		if w.Cmp(to[v].Worth) >= 0 {
			return false
		}
	}
	return true
}

// raise raises a row to a strip with the rest to come, in every state that allows it.
func (s *search) raise(to row, w *want, st *strip, rest row) {
	for v := range to {
		left := s.quota.after(v, w, st.amount)
		if left < 0 || st.score.Worth.Add(rest[left].Worth).Cmp(to[v].Worth) < 0 {
			continue
		}
		sc := st.score
		sc.Add(&rest[left])
		if sc.Cmp(&to[v]) > 0 {
			to[v] = sc
		}
	}
}

// fits lists the wants that can fit the pocket between fixed blade j and the fixed one
// after it, the most valuable first. Its width is always the same, unless a straight edge
// may bound it in the blade's place.
func (s *search) fits(j int, width int64) []int16 {
	in := s.in
	if in.straight {
		return in.byTop
	}
	l := &s.fit[j]
	if *l == nil {
		all := s.shorts.take(len(in.byTop))[:0]
		for _, k := range in.byTop {
			if in.wants[k].fits(width) {
				all = append(all, k)
			}
		}
		*l = all
	}
	return *l
}

// gapBound is pocketBound for a face anywhere in [left0, left1], in one state.
func (s *search) gapBound(left0, left1 int64, f, v int) score {
	rest := s.fixedRow(f)
	best := rest[v]
	for _, k := range s.in.byTop {
		w := &s.in.wants[k]
		if w.top.Add(rest[v].Worth).Cmp(best.Worth) < 0 {
			break
		}
		st, ok := s.gapStrip(w, left0, left1, s.in.blades[f].lo)
		if !ok {
			continue
		}
		left := s.quota.after(v, w, st.amount)
		if left < 0 || st.score.Worth.Add(rest[left].Worth).Cmp(best.Worth) < 0 {
			continue
		}
		sc := st.score
		sc.Add(&rest[left])
		if sc.Cmp(&best) > 0 {
			best = sc
		}
	}
	return best
}

// gapRow is gapBound for all states.
func (s *search) gapRow(to row, left0, left1 int64, f int) {
	rest := s.fixedRow(f)
	copy(to, rest)
	for _, k := range s.in.byTop {
		w := &s.in.wants[k]
		if to.beyond(w.top, rest) {
			break
		}
		if st, ok := s.gapStrip(w, left0, left1, s.in.blades[f].lo); ok {
			s.raise(to, w, &st, rest)
		}
	}
}

// gapStrip bounds a strip of want w between a face anywhere in [left0, left1] and right,
// and gives the least that it uses up.
func (s *search) gapStrip(w *want, left0, left1, right int64) (st strip, ok bool) {
	s.tick(1)
	// The face is a kerf beyond a stop, so not every width is possible.
	wide := right - s.in.kerf - s.in.stopUp(max(left0, right-w.hi)-s.in.kerf)
	narrow := right - s.in.kerf - s.in.stopDown(min(left1, right-w.lo)-s.in.kerf)
	if wide < narrow {
		return strip{}, false
	}
	c := s.counted(w, left1-s.w.lo, right-s.w.hi)
	if c.n == 0 {
		return strip{}, false
	}
	st.score.Worth, st.score.Area = w.worth(wide, c), wide*c.n
	if !w.it.Random {
		best := s.nearestWidth(w, right, narrow, wide)
		st.score.Dev, st.score.Area = abs(best-int64(w.it.Min)), best*c.n
	}
	if s.quota.kept(w) {
		st.amount = w.amount(narrow, s.cutOf(w, left0-s.w.hi, right-s.w.lo, true))
	}
	return st, true
}

// nearestWidth gives the possible width nearest to want w's, of two the wider: from
// narrow to wide, with the left blade at a stop.
func (s *search) nearestWidth(w *want, right, narrow, wide int64) int64 {
	kerf, nominal := s.in.kerf, int64(w.it.Min)
	over := min(max(right-kerf-s.in.stopDown(right-kerf-nominal), narrow), wide)
	under := min(max(right-kerf-s.in.stopUp(right-kerf-nominal), narrow), wide)
	if abs(under-nominal) < abs(over-nominal) {
		return under
	}
	return over
}

// clamp moves a left face to the straight edge.
func (s *search) clamp(y int64) int64 {
	if s.in.straight {
		return max(y, 0)
	}
	return y
}

// reach gives the stops in [low, high] at which a blade bounds a pocket that want w fits,
// with the pocket starting at face. If the fence has passed the face, the width is
// counted from the straight edge.
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
		lo = low // any blade that the fence has passed
	}
	return lo, hi
}
