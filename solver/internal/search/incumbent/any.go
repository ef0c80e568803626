package incumbent

// any looks for a plan with one strip, on boards that yield hardly any: at every stop of
// what decides where a strip lies, coarsely first, in every pocket, each item at its
// narrowest. A narrower strip has all the runs of a wider one, and a single strip breaks
// no cap, so if all stops are tried nothing is missed. It takes at most most steps.
func (h *heuristic) any(most int64) {
	p := h.p
	widest := max(p.OuterHi-p.OuterLo, p.FenceHi-p.FenceLo)
	stride := int64(1)
	for stride*p.Step*64 < widest {
		stride *= 4
	}
	for ; stride > 0 && h.best.Worth == 0; stride /= 4 {
		first := 1
		if p.Straight {
			first = 0
		}
		for j := first; j < len(p.Blades); j++ {
			if h.spent > most || !h.single(j, stride*p.Step, most) {
				return
			}
		}
	}
}

// single tries one strip in the pocket before blade j, and reports whether to continue.
func (h *heuristic) single(j int, stride, most int64) bool {
	p := h.p
	right := &p.Blades[j]
	var left *Blade
	if j > 0 {
		left = &p.Blades[j-1]
	}
	if left != nil && !left.Moving || !right.Moving { // the fence decides where it lies
		for f := p.FenceLo; f <= p.FenceHi; f += stride {
			if h.spent > most || !h.spend() {
				return false
			}
			h.work += int64(len(p.Items)) >> 3
			for k := range p.Items {
				h.singleAt(j, k, f)
			}
		}
		return true
	}
	// Both move: the strip may lie anywhere that some stop of the fence allows.
	from := max(h.stopDown(p.OuterLo-p.Kerf), h.stopDown(-p.Kerf))
	if left != nil {
		from = h.stopDown(p.OuterLo - p.Kerf)
	}
	for u := from; u < p.OuterHi; u += stride {
		if h.spent > most || !h.spend() {
			return false
		}
		for k := range p.Items {
			it := &p.Items[k]
			if left == nil {
				v := h.stopUp(it.Lo)
				if v <= it.Hi {
					lo, hi := max(p.FenceLo, right.Lo-v), min(p.FenceHi, right.Hi-v)
					h.offerSingle(j, k, lo, hi, 0, 0, v)
				}
				continue
			}
			v := h.stopUp(max(u+p.Kerf+max(it.Lo, p.Gap), right.Lo-min(p.FenceHi, left.Hi-u)))
			if v-u-p.Kerf > it.Hi {
				continue
			}
			lo := max(p.FenceLo, left.Lo-u, right.Lo-v)
			hi := min(p.FenceHi, left.Hi-u, right.Hi-v)
			h.offerSingle(j, k, lo, hi, u, u+p.Kerf, v)
		}
		if left == nil {
			return true // it does not depend on u
		}
	}
	return true
}

// singleAt tries an item before blade j with the fence at f, where one of the blades
// beside the pocket is fixed, or the straight edge is.
func (h *heuristic) singleAt(j, k int, f int64) {
	p := h.p
	it := &p.Items[k]
	right := &p.Blades[j]
	near := int64(0)
	u := -p.Kerf
	switch {
	case j > 0 && !p.Blades[j-1].Moving:
		u = p.Blades[j-1].Lo - f
		near = u + p.Kerf
	case j > 0: // right is fixed: left is as near to it as possible
		u = h.stopDown(right.Lo - f - max(it.Lo, p.Gap) - p.Kerf)
		near = u + p.Kerf
		if b := &p.Blades[j-1]; u+f < b.Lo || u+f > b.Hi {
			u = min(max(u, b.Lo-f), b.Hi-f)
			near = u + p.Kerf
		}
	}
	face := near
	if p.Straight {
		near = max(near, 0)
	}
	v := right.Lo - f
	if right.Moving {
		v = max(h.stopUp(max(near+it.Lo, face+p.Gap)), v)
		if v > right.Hi-f {
			return
		}
	}
	if v-near < it.Lo || v-near > it.Hi {
		return
	}
	h.offerSingle(j, k, f, f, u, near, v)
}

// offerSingle offers a plan of one strip, between near and the blade j at height v, with
// the fence at lo to hi and blade j-1 at height u.
func (h *heuristic) offerSingle(j, k int, lo, hi, u, near, v int64) {
	p := h.p
	if lo > hi {
		return
	}
	worth, _ := h.strip(k, near, v)
	if worth <= h.best.Worth {
		return
	}
	f := min(max(h.stopDown(p.Fence0), h.stopUp(lo)), h.stopDown(hi))
	n := len(p.Blades)
	plan := &Plan{Fence: f, Blades: make([]int64, n), Items: make([]int, 0, n), Worth: worth}
	plan.Blades[j] = v + f
	if j > 0 {
		plan.Blades[j-1] = u + f
	}
	for i := j - 2; i >= 0; i-- { // the others stand next to them
		plan.Blades[i] = p.Blades[i].Lo
		if p.Blades[i].Moving {
			plan.Blades[i] = min(p.Blades[i].Hi, h.stopDown(plan.Blades[i+1]-p.Kerf-p.Gap))
		}
	}
	for i := j + 1; i < n; i++ {
		plan.Blades[i] = p.Blades[i].Lo
		if p.Blades[i].Moving {
			plan.Blades[i] = max(p.Blades[i].Lo, h.stopUp(plan.Blades[i-1]+p.Kerf+p.Gap))
		}
	}
	pocket := j - 1
	if p.Straight {
		pocket = j
	}
	for i := range cap(plan.Items) {
		if i < n-1 || p.Straight {
			plan.Items = append(plan.Items, None)
			if i == pocket {
				plan.Items[i] = k
			}
		}
	}
	h.offer(plan)
}
