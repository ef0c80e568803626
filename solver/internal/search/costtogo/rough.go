package costtogo

// end lays strips that begin clear and end at a rough entry e, where a strip of the
// least width is worth v.
func (r *raising) end(x *kind, e int, v int64) {
	n := x.end.n[e-x.endAt]
	// The later they begin, the less they count for.
	to := min(e-x.lo+1, r.hi)
	first := max(r.lo, r.startN, e-x.hi)
	for q := 0; q < len(r.after) && first < to; q++ {
		from := min(max(e-r.upTo(x, n, q)+1, first), to)
		if l := r.after[q]; l != nil && from < to {
			r.fan(x, e, from, to, v+l.at[e], x.end.slope[e-x.endAt])
		}
		to = from
	}
}

// fan lays strips from some entries to one, with what lies beyond them worth v where
// they have the least width.
func (r *raising) fan(x *kind, e, from, to int, v, slope int64) {
	dst := r.dst[from:to]
	r.s.P.Over(len(dst) / 2)
	v += slope * int64(e-from-x.lo)
	for i, o := range dst {
		dst[i] = max(o, v)
		v -= slope
	}
}

// start lays strips that begin at a rough entry i, where a strip of the least width
// is worth v.
func (r *raising) start(x *kind, i int, v int64) {
	s := r.s
	n, slope := x.start.n[i-x.from], x.start.slope[i-x.from]
	last := min(i+x.hi, r.endHi-1)
	q, change := 0, i+r.upTo(x, n, 0)
	for from := max(i+x.lo, r.endLo); from <= last; from += blockLen {
		end := min(from+blockLen-1, last)
		if s.P.Over(2) {
			return
		}
		if r.same.about(from)+v+slope*int64(end-i-x.lo) <= r.dst[i] {
			continue
		}
		s.P.Over(2 * (end + 1 - from))
		for e := from; e <= end; e++ {
			add := int64(e - i - x.lo)
			if e < r.endN {
				for e >= change && q+1 < len(r.after) {
					q++
					change = i + r.upTo(x, n, q)
				}
				if l := r.after[q]; l != nil {
					r.dst[i] = max(r.dst[i], l.at[e]+v+slope*add)
				}
				continue
			}
			j := e - x.endAt
			b := r.same.at[e] + min(v+slope*add, x.end.value[j]+x.end.slope[j]*add)
			if b <= r.dst[i] {
				continue
			}
			if s.P.of != nil {
				r.dst[i] = b
				continue
			}
			s.P.Over(16)
			c := r.counted(s.P, x, i, e)
			if l := r.beyond(x, e-i, c.N); l != nil && c.N > 0 {
				v, a := s.P.value(x, r.take, c)
				r.dst[i] = max(r.dst[i], l.at[e]+v+a*add)
			}
		}
	}
}
