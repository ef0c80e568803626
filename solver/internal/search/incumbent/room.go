package incumbent

import "github.com/ripwright/ripwright/solver/unit"

// room estimates what lies between two fixed blades, or a straight edge and the first
// fixed one, where strips must end exactly: value[r][q] for r moving blades in q
// heights of the grid, all of it clear.
type room struct {
	h     *heuristic
	value [][]int64
	n     int
}

// newRoom gives nil if none is needed.
func (h *heuristic) newRoom() *room {
	p := h.p
	most, widest, run := 0, int64(0), 0
	from := int64(0)
	for j := range p.Blades {
		b := &p.Blades[j]
		if b.Moving {
			run++
			continue
		}
		if run > 0 && (j > run || p.Straight) {
			w := b.Lo - from
			if j == run {
				w = b.Lo - p.FenceLo
			}
			most, widest = max(most, run), max(widest, w)
		}
		run, from = 0, b.Lo+p.Kerf
	}
	if most == 0 {
		return nil
	}
	r := &room{h: h, n: int(min(widest, p.OuterHi-p.OuterLo+h.grid)/h.grid) + 1}
	for range most + 1 {
		r.value = append(r.value, make([]int64, r.n))
	}
	return r
}

func (r *room) fill() {
	h, p := r.h, r.h.p
	idle := int((p.Gap + p.Kerf) / h.grid)
	for m, v := range r.value {
		clear(v)
		if m > 0 {
			most := int64(0)
			for q := idle; q < r.n; q++ {
				most = max(most, r.value[m-1][q-idle])
				v[q] = most
			}
		}
		for k := range p.Items {
			it := &p.Items[k]
			toll := h.toll[k]
			a, b := int(it.Lo/h.grid), int(unit.CeilDiv(it.Hi, h.grid))
			if !it.ByWidth && m > 0 {
				b = a
			}
			kerf := int((p.Kerf + h.grid/2) / h.grid)
			for w := a; w <= b && w < r.n; w++ {
				worth := h.full[k].worth - toll
				if it.ByWidth {
					worth = unit.MulDiv(h.rate[k], min(int64(w)*h.grid, it.Hi), 1<<20) - toll
				}
				if m == 0 {
					v[w] = max(v[w], worth)
					continue
				}
				for q := w + kerf; q < r.n; q++ {
					v[q] = max(v[q], worth+r.value[m-1][q-w-kerf])
				}
				h.work += int64(r.n) >> 8
			}
		}
		if !h.spend() {
			return
		}
	}
}

// inside estimates what m moving blades bring between the faces lo and hi of two fixed
// ones, either of which may stand beside the wood.
func (h *heuristic) inside(s *side, m int, lo, hi int64) int64 {
	switch {
	case m == 0 || hi <= s.outerLo || lo >= s.outerHi:
		return 0
	case hi > s.outerHi:
		return s.rest(m, lo)
	case lo < s.outerLo: // one has to reach the wood first
		return h.within(m-1, s.outerLo, hi)
	}
	return h.within(m, lo, hi)
}

// lead estimates what m moving blades bring between a straight edge and a fixed blade.
// Those that bring nothing can stand before the edge.
func (h *heuristic) lead(s *side, m int, hi int64) (most int64) {
	if hi > s.outerHi {
		return s.rest(m, 0)
	}
	for k := range m + 1 {
		most = max(most, h.within(k, 0, hi))
	}
	return most
}

// longest is how many moving blades stand together beyond the first fixed one, or
// before it beside a straight edge.
func (h *heuristic) longest() (most int) {
	from := h.first
	if h.p.Straight {
		from = 0
	}
	run := 0
	for j := from; j < len(h.p.Blades); j++ {
		if run++; !h.p.Blades[j].Moving {
			run = 0
		}
		most = max(most, run)
	}
	return most
}

// within estimates what m moving blades bring between the faces lo and hi.
func (h *heuristic) within(m int, lo, hi int64) int64 {
	r := h.gaps
	switch {
	case hi <= lo:
		return 0
	case r == nil && m == 0:
		return h.relaxed.single(hi - lo)
	case r == nil:
		return h.relaxed.rest(m+1, hi-lo)
	}
	q := int((hi - lo + h.grid/2) / h.grid)
	return r.value[m][min(q, r.n-1)]
}
