package incumbent

import "slices"

// assemble makes the best plan that it finds with the fence at f, and offers it. For a
// saw without a fixed blade, on a board without a straight edge, start says where the
// first blade stands, or anywhere is tried.
func (h *heuristic) assemble(f int64, start int64) *Plan {
	p := h.p
	n := len(p.Blades)
	h.labels, h.others = h.labels[:0], h.others[:0]
	plan := &Plan{Fence: f, Blades: make([]int64, n), Items: make([]int, n-1, n)}
	if p.Straight {
		plan.Items = plan.Items[:n]
	}
	for i := range plan.Items {
		plan.Items[i] = None
	}
	switch {
	case p.Straight:
		h.labels = append(h.labels, label{prev: -1, item: edge})
		if !h.settle(plan, h.row(h.right, f, 0, n), 0) {
			return nil
		}
	case h.first < 0:
		h.starts(f, start)
		if !h.settle(plan, h.row(h.right, f, 0, n), 1) {
			return nil
		}
	default:
		h.labels = append(h.labels, h.anchor(h.right, f))
		if !h.settle(plan, h.row(h.right, f, h.first, n), 1) {
			return nil
		}
		if h.first > 0 {
			h.labels = append(h.labels[:0], h.anchor(h.left, f))
			if !h.settle(plan, h.row(h.left, f, h.first, -1), 1) {
				return nil
			}
		}
	}
	return plan
}

// anchor is the label of the first fixed blade.
func (h *heuristic) anchor(s *side, f int64) label {
	u := s.turn(h.p.Blades[h.first].Lo - f)
	return label{u: u, face: u + h.p.Kerf, prev: -1, item: None}
}

// settle places a row after the labels at hand and writes the best result into the plan.
func (h *heuristic) settle(plan *Plan, r *row, first int) bool {
	h.layer = h.layer[:0]
	for i := range h.labels {
		h.layer = append(h.layer, int32(i))
	}
	at := h.place(r, first)
	if at < 0 {
		return false
	}
	plan.Worth += h.labels[at].worth
	for i := len(r.blades) - 1; i >= 0; i-- {
		l := &h.labels[at]
		j := r.blades[i]
		plan.Blades[j] = r.s.turn(l.u) + r.fence
		if i >= first {
			pocket := j // mirrored, the pocket lies beyond the blade
			if !r.s.mirrored && !h.p.Straight {
				pocket--
			}
			plan.Items[pocket] = int(l.item)
			if l.item != None {
				h.others = append(h.others, used{int(l.item), l.amount})
			}
		}
		at = l.prev
	}
	return true
}

// starts makes labels of where the first of all moving blades may stand.
func (h *heuristic) starts(f, start int64) {
	p, s := h.p, h.right
	lo, hi := s.window(0, f)
	m := len(p.Blades) - 1
	add := func(u int64) {
		if u = s.up(u); u < lo || u > hi || slices.ContainsFunc(h.labels, func(l label) bool { return l.u == u }) {
			return
		}
		h.labels = append(h.labels, label{u: u, face: u + p.Kerf, rank: s.rest(m, u+p.Kerf), prev: -1, item: None})
	}
	if start != anywhere {
		add(start)
		return
	}
	add(s.fullLo - p.Kerf)
	add(s.outerLo - p.Kerf)
	add(lo) // it may not reach the wood at all
	add(s.down(hi))
	if s.value == nil {
		return
	}
	// The best heights, a distance apart.
	taken := make([]int, 0, h.beam)
	for range h.beam {
		best := -1
		for i, v := range s.value[m] {
			u := s.up(s.height(i) - p.Kerf)
			if u < lo || u > hi || best >= 0 && v <= s.value[m][best] ||
				slices.ContainsFunc(taken, func(t int) bool { return max(t-i, i-t) < 3 }) {
				continue
			}
			best = i
		}
		if best < 0 {
			return
		}
		taken = append(taken, best)
		add(s.height(best) - p.Kerf)
	}
}

// anywhere stands for no start.
const anywhere = -far
