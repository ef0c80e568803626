package incumbent

import (
	"math"
	"slices"
)

// label is a part of a plan: blades placed up to the one at u.
type label struct {
	u, face int64
	worth   int64 // of its strips
	rank    int64 // less their tolls, plus the estimate of the rest
	paid    int64
	amount  int64 // of the last strip
	prev    int32
	item    int16 // of the last pocket
}

// used is a strip that is placed elsewhere.
type used struct {
	item   int
	amount int64
}

// row is a sequence of blades to be placed outwards on one side, with the fence given.
type row struct {
	s      *side
	fence  int64
	blades []int // in order outwards
	// fixed[i] is the near height of the next fixed blade from place i on, or beyond all;
	// moving[i] how many moving ones stand before it, including i.
	fixed  []int64
	moving []int
}

func (h *heuristic) row(s *side, fence int64, from, to int) *row {
	r := &row{s: s, fence: fence}
	step := 1
	if from > to {
		step = -1
	}
	for j := from; j != to; j += step {
		r.blades = append(r.blades, j)
	}
	r.fixed, r.moving = make([]int64, len(r.blades)+1), make([]int, len(r.blades)+1)
	next, m := far, 0
	r.fixed[len(r.blades)] = far
	for i := len(r.blades) - 1; i >= 0; i-- {
		if b := &h.p.Blades[r.blades[i]]; b.Moving {
			m++
		} else {
			next, m = s.turn(b.Lo-fence), 0
		}
		r.fixed[i], r.moving[i] = next, m
	}
	return r
}

// guess estimates what comes after place i with a face at y.
func (h *heuristic) guess(r *row, i int, y int64) int64 {
	s := r.s
	i++
	if i >= len(r.blades) {
		return 0
	}
	m := r.moving[i]
	if r.fixed[i] == far {
		return s.rest(m, y)
	}
	if h.p.Straight && y <= 0 {
		return h.lead(s, m, r.fixed[i])
	}
	if m == 0 {
		return h.within(0, y, r.fixed[i])
	}
	return h.inside(s, m, y, r.fixed[i])
}

// often is the most work that is counted together with the work after it.
const often = 200

// place runs the beam over a row from the labels that stand at place first-1, and gives
// the best label at its end, or -1.
func (h *heuristic) place(r *row, first int) int32 {
	for i := first; i < len(r.blades); i++ {
		h.ahead = h.ahead[:0]
		for _, l := range h.layer {
			h.expand(r, i, l)
			if h.work > often && !h.spend() { // many ranges with many items
				return -1
			}
		}
		h.narrow()
		h.layer, h.ahead = h.ahead, h.layer
		if len(h.layer) == 0 || !h.spend() {
			return -1
		}
	}
	best := int32(-1)
	for _, l := range h.layer {
		if best < 0 || h.labels[l].worth > h.labels[best].worth {
			best = l
		}
	}
	return best
}

// narrow keeps the best labels of a layer: one for each position, or two if they use caps
// differently.
func (h *heuristic) narrow() {
	slices.SortFunc(h.ahead, func(a, b int32) int {
		x, y := &h.labels[a], &h.labels[b]
		if x.rank != y.rank {
			if x.rank > y.rank {
				return -1
			}
			return 1
		}
		return int(a - b)
	})
	each := 1
	if h.capped {
		each = 2
	}
	kept := h.ahead[:0]
	for _, l := range h.ahead {
		same := 0
		for _, k := range kept {
			if h.labels[k].u == h.labels[l].u {
				same++
			}
		}
		if same < each {
			kept = append(kept, l)
		}
		if len(kept) == h.beam {
			break
		}
	}
	h.ahead = kept
}

// near gives where the pocket before the next blade begins.
func (h *heuristic) near(l *label) int64 {
	if h.p.Straight {
		return max(l.face, 0)
	}
	return l.face
}

// expand places the blade at place i of the row after label l.
func (h *heuristic) expand(r *row, i int, l int32) {
	p, s := h.p, r.s
	from := h.labels[l]
	lo := h.near(&from)
	j := r.blades[i]
	h.found = h.found[:0]
	if !p.Blades[j].Moving {
		u := r.fixed[i]
		if u-from.face >= p.Gap || i == 0 {
			h.found = append(h.found, candidate{u, None, h.guess(r, i, u+p.Kerf)})
		}
		for k := range p.Items {
			if it := &p.Items[k]; it.Lo <= u-lo && u-lo <= it.Hi {
				h.found = append(h.found, candidate{u, k, math.MaxInt64})
			}
		}
	} else {
		wlo, whi := s.window(j, r.fence)
		if from.prev >= 0 || from.item != edge {
			wlo = max(wlo, s.up(from.face+p.Gap))
		}
		if wlo > whi {
			return
		}
		h.candidates(r, i, &from, lo, wlo, whi)
	}
	h.work += int64(len(h.found)) >> 4
	if len(h.found) == 0 {
		return
	}
	idle, arrived := h.found[0], len(h.ahead)
	h.filtered()
	for _, c := range h.found {
		h.arrive(r, i, l, lo, c)
	}
	if len(h.ahead) == arrived && idle.item == None { // strips that are worth nothing after all
		h.arrive(r, i, l, lo, idle)
	}
	h.work += int64(len(p.Items)) >> 4
}

// arrive adds the label of a candidate, measured exactly, unless a cap forbids it.
func (h *heuristic) arrive(r *row, i int, from int32, lo int64, c candidate) {
	l := h.labels[from]
	n := label{u: c.u, face: c.u + h.p.Kerf, worth: l.worth, paid: l.paid, prev: from, item: int16(c.item)}
	if c.item != None {
		worth, amount := r.s.strip(c.item, lo, c.u)
		if worth <= 0 || !h.allows(from, c.item, amount) {
			return
		}
		n.worth, n.amount = n.worth+worth, amount
		n.paid += h.toll[c.item]
	}
	n.rank = n.worth - n.paid + h.guess(r, i, n.face)
	h.labels = append(h.labels, n)
	h.ahead = append(h.ahead, int32(len(h.labels)-1))
}

// allows reports whether a cap leaves room for one more strip after a label.
func (h *heuristic) allows(at int32, item int, amount int64) bool {
	open := h.p.Items[item].Open
	if open == 0 {
		return true
	}
	sum, most := amount, amount
	for ; at >= 0; at = h.labels[at].prev {
		if l := &h.labels[at]; int(l.item) == item {
			sum, most = sum+l.amount, max(most, l.amount)
		}
	}
	for _, u := range h.others {
		if u.item == item {
			sum, most = sum+u.amount, max(most, u.amount)
		}
	}
	return sum-most < open
}
