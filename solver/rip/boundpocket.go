package rip

// Bounds on one pocket together with what lies beyond it.

// pocketBound bounds what lies between a face at left and fixed blade f, and
// from there on.
func (s *search) pocketBound(left int64, f, v int) score {
	right := s.in.blades[f].lo
	rest := s.fromFixed(f, v)
	best := rest
	best.worth = best.worth.Add(s.rerip(left, right))
	for _, k := range s.fits(f-1, right-left) {
		w := &s.in.wants[k]
		if w.top.Add(rest.worth).Cmp(best.worth) < 0 {
			break // and so for those that follow
		}
		st, ok := s.strip(w, left, right)
		if !ok {
			continue
		}
		sc := rest
		if to := s.quota.after(v, w, st.amount); to < 0 {
			continue
		} else if to != v {
			sc = s.fromFixed(f, to)
		}
		if sc = sc.plus(st.score); sc.cmp(&best) > 0 {
			best = sc
		}
	}
	return best
}

// fits lists the wants that can fit the pocket between fixed blade j and the
// fixed one after it, the most valuable first. Its width is always the same, but
// where a straight edge may bound it in the blade's place.
func (s *search) fits(j int, width int64) []int16 {
	in := s.in
	if in.straight {
		return in.byTop
	}
	l := &s.fit[j]
	if *l == nil {
		*l = make([]int16, 0, 4)
		for _, k := range in.byTop {
			if in.wants[k].fits(width) {
				*l = append(*l, k)
			}
		}
	}
	return *l
}

// gapBound is pocketBound for a face anywhere in [left0, left1].
func (s *search) gapBound(left0, left1 int64, f, v int) score {
	right := s.in.blades[f].lo
	rest := s.fromFixed(f, v)
	best := rest
	for _, k := range s.in.byTop {
		w := &s.in.wants[k]
		if w.top.Add(rest.worth).Cmp(best.worth) < 0 {
			break
		}
		// The face is a kerf beyond a stop, which not every width allows.
		wide := right - s.in.kerf - s.in.stopUp(max(left0, right-w.hi)-s.in.kerf)
		narrow := right - s.in.kerf - s.in.stopDown(min(left1, right-w.lo)-s.in.kerf)
		if wide < narrow {
			continue
		}
		c := s.counted(w, left1-s.w.lo, right-s.w.hi)
		if c.n == 0 {
			continue
		}
		sc := rest
		if s.quota.kept(w) && v < s.quota.states {
			least := s.cutOf(w, left0-s.w.hi, right-s.w.lo, true)
			if to := s.quota.after(v, w, w.amount(narrow, least)); to < 0 {
				continue
			} else if to != v {
				sc = s.fromFixed(f, to)
			}
		}
		st := score{worth: w.worth(wide, c), area: wide * c.n}
		if !w.it.Random {
			best := s.nearestWidth(w, right, narrow, wide)
			st.dev, st.area = abs(best-int64(w.it.Min)), best*c.n
		}
		if sc = sc.plus(st); sc.cmp(&best) > 0 {
			best = sc
		}
	}
	return best
}

// nearestWidth gives the width next to want w's, the wider of two, of those from
// narrow to wide that a stop leaves before right.
func (s *search) nearestWidth(w *want, right, narrow, wide int64) int64 {
	kerf, nominal := s.in.kerf, int64(w.it.Min)
	over := min(max(right-kerf-s.in.stopDown(right-kerf-nominal), narrow), wide)
	under := min(max(right-kerf-s.in.stopUp(right-kerf-nominal), narrow), wide)
	if abs(under-nominal) < abs(over-nominal) {
		return under
	}
	return over
}

// chainBound bounds what lies beyond a fixed blade that a moving one follows:
// the pocket between them, and the bound from there on.
func (s *search) chainBound(j int, a int64, v int) score {
	in := s.in
	next := &in.blades[j+1]
	face := a + in.kerf
	low := max(in.stopUp(face+in.gap), next.lo)
	if low > next.hi {
		return score{}
	}
	rest := s.afterSpan(j+1, low, next.hi, v)
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
				c := s.counted(w, s.clamp(face-s.w.lo), start-s.w.hi)
				up := w.worth(min(q-face, w.hi), c).Add(s.afterSpan(j+1, start, q, v).worth)
				if c.n == 0 || up.Cmp(best.worth) < 0 {
					q = start
					continue
				}
			}
			if st, ok := s.strip(w, face, q); ok {
				to := s.quota.after(v, w, st.amount)
				if to < 0 {
					continue
				}
				sc := st.score.plus(s.stand(j+1, q)).plus(s.after(j+1, q, to))
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
func (s *search) leftChain(j int, a int64, v int) score {
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
				c := s.counted(w, s.clamp(end+in.kerf-s.w.lo), a-s.w.hi)
				up := w.worth(min(a-in.kerf-q, w.hi), c).Add(rest(q, end).worth)
				if c.n == 0 || up.Cmp(best.worth) < 0 {
					q = end
					continue
				}
			}
			if st, ok := s.strip(w, q+in.kerf, a); ok && s.quota.after(v, w, st.amount) >= 0 {
				sc := st.score.plus(s.stand(j-1, q)).plus(rest(q, q))
				if sc.cmp(&best) > 0 {
					best = sc
				}
			}
		}
	}
	return best
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
