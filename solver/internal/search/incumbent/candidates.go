package incumbent

import (
	"cmp"
	"math"
	"slices"

	"github.com/ripwright/ripwright/solver/unit"
)

// candidate is where the next blade might stand and what would be sawn before it, by
// estimate.
type candidate struct {
	u     int64
	item  int
	guess int64
}

// edge marks the label that stands for a straight edge.
const edge = -2

// candidates lists where moving blade i may stand between wlo and whi.
func (h *heuristic) candidates(r *row, i int, from *label, lo, wlo, whi int64) {
	p, s := h.p, r.s
	m := r.moving[i] // with this blade
	idle := func(u int64) {
		if u = s.up(max(u, wlo)); u <= whi {
			h.found = append(h.found, candidate{u, None, h.guess(r, i, u+p.Kerf)})
		}
	}
	idle(wlo)
	if from.face < s.fullLo { // on its way to the wood
		idle(s.fullLo - p.Kerf)
	}
	end := min(s.fullHi, s.outerHi)
	open := r.fixed[i] == far
	if !open {
		end = r.fixed[i]
	}
	if open && s.value != nil {
		if k := s.first(m-1, max(s.index(wlo+p.Kerf), 0)); k < s.n {
			idle(s.down(s.height(k) - p.Kerf))
		}
	}
	for k := range p.Items {
		it := &p.Items[k]
		if it.ByWidth {
			h.widths(r, i, k, lo, wlo, whi, end)
			continue
		}
		u := s.up(max(lo+it.Lo, wlo))
		if u <= whi && u-lo <= it.Hi && u <= s.outerHi {
			if w := s.stripFrom(k, lo); w > 0 || it.Hi-it.Lo > p.Step {
				h.found = append(h.found, candidate{u, k, w - h.toll[k] + h.guess(r, i, u+p.Kerf)})
			}
		}
		if !open && m == 1 { // what follows may be sawn up to the fixed blade
			if u := s.down(end - it.Lo - p.Kerf); u >= wlo && u <= whi && end-u-p.Kerf <= it.Hi {
				h.found = append(h.found, candidate{u, None, h.full[k].worth - h.toll[k]})
			}
		}
	}
}

// widths lists strips of an item by width: the widest, the narrowest, the table's choice,
// and those that leave just enough room for others before the end.
func (h *heuristic) widths(r *row, i, k int, lo, wlo, whi, end int64) {
	p, s := h.p, r.s
	it := &p.Items[k]
	a, b := max(lo+it.Lo, wlo), min(lo+it.Hi, whi, s.outerHi)
	try := func(u int64) {
		u = s.down(u)
		if u < a || u > b {
			return
		}
		h.found = append(h.found, candidate{u, k, unit.MulDiv(h.rate[k], u-lo, 1<<20) - h.toll[k] + h.guess(r, i, u+p.Kerf)})
	}
	try(b)
	try(s.up(a))
	try(min(end, b))
	try(s.outerHi)
	if m := r.moving[i]; s.value != nil && r.fixed[i] == far {
		if at := s.index(lo); at >= 0 && at < s.n {
			if c := s.choice[m][at]; int(c.item) == k {
				u := s.height(int(c.next)) - p.Kerf
				try(u)
				try(u - h.grid/2)
				try(u + h.grid/2)
			}
		}
	}
	h.work += int64(len(p.Items)/h.every) >> 3
	for x := k % h.every; x < len(p.Items); x += h.every {
		if o := &p.Items[x]; !o.ByWidth {
			try(end - o.Lo - p.Kerf)
		} else {
			try(end - o.Hi - p.Kerf)
			try(end - o.Lo - p.Kerf)
		}
	}
}

// filtered keeps the best candidates by estimate, in order. Most of the others are worse
// than the last of those kept so far, so sorting all would take far longer.
func (h *heuristic) filtered() {
	if len(h.found) <= h.filter {
		return
	}
	kept, least := h.found[:0], int64(math.MinInt64)
	for _, c := range h.found {
		full := len(kept) == h.filter
		if full && (c.guess < least || byGuess(c, kept[len(kept)-1]) >= 0) {
			continue
		}
		at, _ := slices.BinarySearchFunc(kept, c, byGuess)
		if full {
			kept = kept[:len(kept)-1]
		}
		kept = slices.Insert(kept, at, c)
		least = kept[len(kept)-1].guess
	}
	h.found = kept
}

// byGuess puts the greatest estimate first; equal ones by place, then by item.
func byGuess(a, b candidate) int {
	return cmp.Or(cmp.Compare(b.guess, a.guess), cmp.Compare(a.u, b.u), cmp.Compare(a.item, b.item))
}
