package costtogo

import (
	"slices"

	"github.com/ripwright/ripwright/solver/unit"
)

// raise makes the level of k blades and a state from those of one blade less: the next
// blade ends a strip, or stands idle at least a spread away.
func (s *Side) raise(k, st int) {
	q := s.States.Count
	l := &s.levels[k*q+st]
	below := s.levels[(k-1)*q : k*q]
	lo, hi := s.window(k)
	if lo >= hi {
		return
	}
	g := s.pairs[k]
	b := &below[st] // what lies beyond an idle blade
	first, last := max(min(b.lo-g.apart, hi), lo), max(min(b.hi-g.apart, hi), lo)
	fill(l.at[lo:first], b.from(lo+g.apart))
	b.run(l.at[first:last], first+g.apart)
	fill(l.at[last:hi], b.parked)
	r := raising{s: s, pair: g, dst: l.at, lo: lo, hi: hi}
	r.endLo, r.endHi = s.window(k - 1)
	r.low = slices.Grow(s.P.buf.low[:0], s.P.N/blockLen)[:s.P.N/blockLen]
	for b := (lo + blockLen - 1) / blockLen; b < hi/blockLen; b++ { // what is copied never rises
		r.low[b] = l.at[(b+1)*blockLen-1]
	}
	s.P.buf.low = r.low
	for t := range g.groups {
		x := &g.groups[t]
		if x.first == x.last {
			continue
		}
		w := g.kinds[x.first].w
		r.same, r.kept = &below[st], s.States.Kept(w)
		r.after = append(s.P.buf.after[:0], r.same)
		if r.kept {
			for q := 1; q <= s.States.Most(w); q++ {
				l := (*level)(nil)
				if to, ok := s.States.Less(st, w, q); ok {
					l = &below[to]
				}
				r.after = append(r.after, l)
			}
		}
		s.P.buf.after = r.after
		r.layAll(x)
		if r.kept {
			if to, ok := s.States.Spare(st, w); ok {
				r.same, r.kept = &below[to], false
				r.after = append(r.after[:0], r.same)
				r.layAll(x)
			}
		}
		if s.P.Over(4) {
			return
		}
	}
}

// layAll lays strips of all kinds of a group.
func (r *raising) layAll(g *group) {
	if g.at == nil {
		r.lay(&r.kinds[g.first])
		return
	}
	lo, hi, endLo, endHi := r.lo, r.hi, r.endLo, r.endHi
	for t := g.first; t < g.last && !r.s.P.Over(8); t++ {
		x := &r.kinds[t]
		r.lo, r.hi, r.endLo, r.endHi = max(lo, x.from), min(hi, x.to), max(endLo, x.first), min(endHi, x.last)
		if r.lo < r.hi && r.endLo < r.endHi {
			r.lay(x)
		}
	}
	r.lo, r.hi, r.endLo, r.endHi = lo, hi, endLo, endHi
}

// raising is one level in progress.
type raising struct {
	*pair
	s     *Side
	dst   []int64
	kept  bool     // whether strips of the kind at hand change the state
	same  *level   // what lies beyond a strip that does not count
	after []*level // beyond a strip by what it counts for; nil: none may
	low   []int64  // by block that is wanted as a whole: at most the least of dst

	lo, hi       int // entries wanted, where strips of the kind at hand can begin
	endLo, endHi int // those at which they can end
}

// upTo gives the number of stops below which strips that count a length count for at most
// q.
func (r *raising) upTo(x *kind, n int64, q int) int {
	m := r.s.P.M
	if r.kept && q+1 < len(r.after) {
		if w := r.s.States.From(x.w, n, q+1); w <= int64(x.hi)*m.Step-r.take {
			return int(unit.CeilDiv(w+r.take, m.Step))
		}
	}
	return x.hi + 1
}

// beyond gives what lies beyond a strip of d stops that counts a length; nil if none may.
func (r *raising) beyond(x *kind, d int, n int64) *level {
	for q := range r.after {
		if d < r.upTo(x, n, q) {
			return r.after[q]
		}
	}
	return nil
}

// lay lays strips of one kind.
func (r *raising) lay(x *kind) {
	s := r.s
	for q, lo := 0, x.lo; q < len(r.after) && lo <= x.hi; q++ {
		hi := min(r.upTo(x, x.n, q)-1, x.hi)
		if full := r.after[q]; full != nil {
			if hi-lo >= 4 {
				r.slide(x, lo, hi, full)
			} else {
				for d := lo; d <= hi; d++ {
					r.clear(x, d, full)
				}
			}
		}
		lo = max(lo, hi+1)
	}
	last := min(r.endHi, r.hi+x.hi)
	if x.narrow() && len(r.after) == 1 {
		r.ends(x)
		last = 0
	}
	for e := max(r.endN, r.endLo, max(r.startN, r.lo)+x.lo); e < last && !s.P.Over(16); e++ {
		if v := x.end.value[e-x.endAt]; v != never {
			r.end(x, e, v)
		}
	}
	from := r.lo
	if x.narrow() && len(r.after) == 1 && s.P.of == nil {
		from = r.starts(x)
	}
	for i := from; i < min(r.startN, r.hi) && !s.P.Over(16); i++ {
		if v := x.start.value[i-x.from]; v != never {
			r.start(x, i, v)
		}
	}
}

// clear lays strips of d stops that are clear from end to end.
func (r *raising) clear(x *kind, d int, beyond *level) {
	v := x.full + x.slope*int64(d-x.lo)
	from, to := max(r.startN, r.lo, r.endLo-d), min(min(r.endN, r.endHi)-d, r.hi)
	for from < to {
		end := min((from/blockLen+1)*blockLen, to)
		// What lies beyond is in at most two blocks.
		b := (from + d) / blockLen
		top := beyond.block[b]
		if (b+1)*blockLen < r.endHi {
			top = max(top, beyond.block[b+1])
		}
		if r.s.P.Over(4) {
			return
		}
		if r.some(from, end, top+v) {
			r.s.P.Over((end - from) / 2)
			dst, src := r.dst[from:end], beyond.at[from+d:end+d]
			src = src[:len(dst)]
			for i, o := range dst {
				dst[i] = max(o, src[i]+v)
			}
		}
		from = end
	}
}

// some reports whether less than v is known at any of some entries of a block.
func (r *raising) some(from, end int, v int64) bool {
	dst := r.dst[from:end]
	whole := len(dst) == blockLen
	switch {
	case whole && v <= r.low[from/blockLen]:
		return false
	case v > dst[len(dst)-1] || v > dst[0]:
		return true
	}
	low := least(dst)
	if whole {
		r.low[from/blockLen] = low
	}
	return v > low
}

func least(v []int64) int64 {
	m := v[0]
	for _, x := range v {
		m = min(m, x)
	}
	return m
}
