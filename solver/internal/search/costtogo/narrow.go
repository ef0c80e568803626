package costtogo

// Of most items strips have one width, or few within a tolerance, all of one worth. Those
// with one rough end are then laid width by width, not entry by entry, unless what they
// use up of a cap matters.

// narrow reports whether strips of a kind have few widths, all of one worth.
func (x *kind) narrow() bool { return x.hi-x.lo < 4 && !x.w.ByWidth() }

// ends lays the strips of a narrow kind that begin clear and end at a rough entry.
func (r *raising) ends(x *kind) {
	for d := x.lo; d <= x.hi; d++ {
		from, to := max(r.endN, r.endLo, max(r.startN, r.lo)+d), min(r.endHi, r.hi+d)
		if from >= to {
			continue
		}
		if r.s.P.Over((to - from) / 2) {
			return
		}
		dst, beyond, value := r.dst[from-d:to-d], r.same.at[from:to], x.end.value[from-x.endAt:to-x.endAt]
		beyond, value = beyond[:len(dst)], value[:len(dst)]
		for i, o := range dst {
			dst[i] = max(o, beyond[i]+value[i])
		}
	}
}

// starts lays the strips of a narrow kind that begin at a rough entry and end clear, up
// to the first entry from which one may end rough, and gives that.
func (r *raising) starts(x *kind) (next int) {
	end := max(min(r.startN, r.hi, r.endN-x.hi), r.lo)
	for d := x.lo; d <= x.hi; d++ {
		from, to := max(r.lo, r.endLo-d), min(end, r.endHi-d)
		if from >= to {
			continue
		}
		if r.s.P.Over((to - from) / 2) {
			break
		}
		dst, beyond, value := r.dst[from:to], r.same.at[from+d:to+d], x.start.value[from-x.from:to-x.from]
		beyond, value = beyond[:len(dst)], value[:len(dst)]
		for i, o := range dst {
			dst[i] = max(o, beyond[i]+value[i])
		}
	}
	return end
}
