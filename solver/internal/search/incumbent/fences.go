package incumbent

import (
	"cmp"
	"math/bits"
	"slices"

	"github.com/ripwright/ripwright/solver/unit"
)

// stop is a fence stop and its estimated worth.
type stop struct{ at, worth int64 }

// ranked gives the most promising stops of the fence, a distance apart, best first, of about
// as many as are estimated.
func (h *heuristic) ranked(most int, estimated int64) []stop {
	p := h.p
	if h.first < 0 {
		return h.spread(most / 4)
	}
	var all []stop
	step := max(h.grid, unit.CeilDiv((p.FenceHi-p.FenceLo)/estimated, p.Step)*p.Step)
	add := func(f int64) {
		if f >= p.FenceLo && f <= p.FenceHi && (len(all)%16 != 0 && h.work <= often || h.spend()) {
			all = append(all, stop{f, h.promise(f)})
		}
	}
	for f := p.FenceLo; f <= p.FenceHi; f += step {
		add(f)
	}
	if p.Straight { // a width between the edge and a fixed blade fits at only one stop
		for j := range p.Blades {
			if p.Blades[j].Moving || j > 0 && p.Blades[j-1].Moving {
				continue
			}
			for k := range p.Items {
				if it := &p.Items[k]; !it.ByWidth {
					add(h.stopDown(p.Blades[j].Lo - it.Lo))
				}
			}
		}
	}
	slices.SortStableFunc(all, func(a, b stop) int {
		switch {
		case a.worth > b.worth:
			return -1
		case a.worth < b.worth:
			return 1
		}
		// Equally good stops: far apart first.
		return cmp.Compare(bits.Reverse64(uint64(a.at/p.Step)), bits.Reverse64(uint64(b.at/p.Step)))
	})
	var some []stop
	for _, s := range all {
		if !slices.ContainsFunc(some, func(t stop) bool { return max(t.at-s.at, s.at-t.at) < 3*step }) {
			if some = append(some, s); len(some) == most {
				break
			}
		}
	}
	return some
}

// spread gives stops of a saw whose blades all move, where the fence matters only through
// travels: first those at which the blades reach most of the board.
func (h *heuristic) spread(most int) []stop {
	p := h.p
	some := []stop{{at: h.standing()}}
	for i := range most {
		at := p.FenceLo + h.stopDown((p.FenceHi-p.FenceLo)*int64(i)/int64(max(most-1, 1)))
		some = append(some, stop{at: at})
	}
	for i := range some {
		some[i].worth = h.reached(some[i].at)
	}
	slices.SortStableFunc(some, func(a, b stop) int { return cmp.Compare(b.worth, a.worth) })
	return some
}

// reached estimates the worth of a stop of a saw whose blades all move.
func (h *heuristic) reached(f int64) int64 {
	p := h.p
	n, lo, hi := 0, far, int64(0)
	for j := range p.Blades {
		if b := &p.Blades[j]; b.Hi-f >= p.OuterLo-p.Kerf && b.Lo-f <= p.OuterHi {
			n, lo, hi = n+1, min(lo, b.Lo-f+p.Kerf), b.Hi-f
		}
	}
	from, to := h.right.core()
	if from, to = max(from, lo), min(to, hi); p.Straight {
		return h.relaxed.rest(n, to)
	}
	return h.relaxed.rest(n-1, to-from)
}

// standing is the stop at or next to the present fence.
func (h *heuristic) standing() int64 {
	return min(max(h.stopDown(h.p.Fence0), h.p.FenceLo), h.p.FenceHi)
}

// promise estimates the worth of a stop of the fence.
func (h *heuristic) promise(f int64) (sum int64) {
	p := h.p
	first, last := p.Blades[h.first].Lo-f, p.Blades[h.last].Lo-f
	if p.Straight {
		if h.first == 0 {
			sum = h.between0(first)
		} else {
			sum = h.lead(h.right, h.first, first)
		}
	} else if h.left != nil {
		sum = h.left.rest(h.first, -first)
	}
	for j := h.first + 1; j <= h.last; {
		lo := p.Blades[j-1].Lo - f + p.Kerf
		m := 0
		for p.Blades[j].Moving {
			j, m = j+1, m+1
		}
		hi := p.Blades[j].Lo - f
		if p.Straight {
			lo = max(lo, 0)
		}
		if m > 0 {
			sum += h.inside(h.right, m, lo, hi)
		} else {
			most := int64(0)
			for _, k := range h.fits[j] {
				if hi-lo < p.Items[k].Lo || hi-lo > p.Items[k].Hi {
					continue
				}
				if w, _ := h.strip(k, lo, hi); w-h.toll[k] > most {
					most = w - h.toll[k]
				}
			}
			sum += most
		}
		j++
	}
	return sum + h.right.rest(len(p.Blades)-1-h.last, last+p.Kerf)
}

// between0 is the best strip between a straight edge and the first blade, a fixed one.
func (h *heuristic) between0(y int64) (most int64) {
	for k := range h.p.Items {
		if it := &h.p.Items[k]; it.Lo <= y && y <= it.Hi {
			w, _ := h.strip(k, 0, y)
			most = max(most, w-h.toll[k])
		}
	}
	return most
}
