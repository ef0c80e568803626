package costtogo

// slide lays strips of a range of widths, of lo to hi stops, that are clear from end to
// end. Worth is linear in the width, so the best end for one entry mostly is the best for
// the next one too: a monotone deque gives it at a constant cost per entry. Blocks in
// which no such strip can gain are skipped, if enough of them lie side by side to pay for
// filling the deque again.
func (r *raising) slide(x *kind, lo, hi int, beyond *level) {
	ends := min(r.endN, r.endHi)
	from, to := max(r.startN, r.lo, r.endLo-hi), min(ends-lo, r.hi)
	if r.endLo >= ends {
		return
	}
	for from < to {
		end := min((from/blockLen+1)*blockLen, to)
		if !r.gains(x, lo, hi, beyond, from, end) {
			from = end
			continue
		}
		last := end // of the part that gains
		for end < to && end-last <= hi-lo {
			next := min(end+blockLen, to)
			if r.gains(x, lo, hi, beyond, end, next) {
				last = next
			}
			end = next
		}
		r.slideAlong(x, lo, hi, beyond, from, last)
		from = end
	}
}

// gains reports whether a strip of lo to hi stops that begins at one of some entries of a
// block may be worth more than the known worth there.
func (r *raising) gains(x *kind, lo, hi int, beyond *level, from, to int) bool {
	if r.s.P.Over(24) {
		return false
	}
	first, last := max(from+lo, r.endLo), min(to-1+hi, min(r.endN, r.endHi)-1)
	if first > last || !r.some(from, to, beyond.about(first)+x.full+x.slope*int64(hi-x.lo)) {
		return false
	}
	most := never
	for b := first / blockLen; b <= last/blockLen; b++ {
		d := min(hi, (b+1)*blockLen-1-from)
		most = max(most, beyond.block[b]+x.slope*int64(d-x.lo))
		r.s.P.Over(1)
	}
	return r.some(from, to, most+x.full)
}

// slideAlong is slide for some entries.
func (r *raising) slideAlong(x *kind, lo, hi int, beyond *level, from, to int) {
	s := r.s
	ends := min(r.endN, r.endHi)
	deq := s.P.buf.deq[:0]
	head, next := 0, max(from+lo, r.endLo)
	at := beyond.at
	for i := from; i < to; i++ {
		if (i == from || i%blockLen == 0) && s.P.Over(2*blockLen) {
			break
		}
		for ; next < ends && next <= i+hi; next++ {
			v := at[next] + x.slope*int64(next)
			for len(deq) > head && at[deq[len(deq)-1]]+x.slope*int64(deq[len(deq)-1]) <= v {
				deq = deq[:len(deq)-1]
			}
			deq = append(deq, int32(next))
		}
		for int(deq[head]) < i+lo {
			head++
		}
		e := int(deq[head])
		r.dst[i] = max(r.dst[i], at[e]+x.full+x.slope*int64(e-i-x.lo))
	}
	s.P.Over(2 * max(next-from-lo-(to-from), 0))
	s.P.buf.deq = deq
}
