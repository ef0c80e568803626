package incumbent

import "github.com/ripwright/ripwright/solver/unit"

// start makes plans without tables: at a few stops of the fence, or for a while if a limit has
// ended the search, which leaves no time for tables.
func (h *heuristic) start() {
	p := h.p
	n := len(p.Blades)
	if n == 1 && !p.Straight || p.OuterHi <= p.OuterLo || len(p.Items) == 0 {
		h.ended = true
		return
	}
	h.grid = unit.CeilDiv((p.OuterHi-p.OuterLo)/heights, p.Step) * p.Step
	h.grid = max(h.grid, p.Step)
	levels := n - 1
	if h.first >= 0 {
		levels = h.longest()
	} else if p.Straight {
		levels = n
	}
	h.right = h.newSide(false, levels)
	if h.first > 0 && !p.Straight {
		h.left = h.newSide(true, h.first)
	}
	h.relaxed = h.relax()
	h.beam, h.filter = 4, 6
	h.list = h.ranked(fences, 100)
	for h.at = 0; h.at < min(few, len(h.list)); h.at++ {
		h.try(h.list[h.at].at)
	}
	if h.best.Worth == 0 {
		h.try(h.standing())
	}
	if h.best.Worth == 0 {
		h.any(grace)
	}
	if h.over {
		h.withoutTables()
	}
}

// few is how many stops of the fence are tried before tables are made.
const few = 3

// withoutTables makes plans better without tables.
func (h *heuristic) withoutTables() {
	for ; h.at < len(h.list) && h.spend(); h.at++ {
		h.try(h.list[h.at].at)
	}
	h.improve(4)
}

// tables makes the tables and tries the best stops of the fence.
func (h *heuristic) tables() {
	if h.ended || h.tabled {
		return
	}
	if h.right.levels > 0 {
		h.right.measure()
	}
	if h.left != nil {
		h.left.measure()
	}
	if h.ended {
		return
	}
	h.gaps = h.newRoom()
	h.beam, h.filter = 4, 6
	h.look()
	h.tabled = !h.ended
}

// late makes plans better for a while after a limit has ended the search.
func (h *heuristic) late() {
	if h.right == nil {
		return
	}
	h.ended, h.regardless = false, h.spent
	if h.tabled {
		h.better()
		return
	}
	for _, s := range []*side{h.right, h.left} { // tables are incomplete
		if s != nil {
			s.value, s.strips = nil, nil
		}
	}
	h.gaps = nil
	h.beam, h.filter = 4, 6
	h.withoutTables()
}

// look fills the tables and tries the best stops of the fence.
func (h *heuristic) look() {
	if h.fill(); h.ended {
		return
	}
	h.list = h.ranked(fences, 800)
	for i := range min(2, len(h.list)) {
		h.try(h.list[i].at)
	}
}

// better sets tolls, tries further stops and improves the best plan.
func (h *heuristic) better() {
	if !h.tabled || len(h.list) == 0 {
		return
	}
	h.beam, h.filter = 4, 6
	if h.capped {
		const rounds = 7
		for round := 0; round < rounds && !h.ended && h.levy(h.list[0].at, round); round++ {
			h.look()
		}
	}
	for i := 2; i < len(h.list) && h.spend(); i++ {
		if i == 4 {
			h.improve(4)
		}
		h.beam, h.filter = 4, 6
		h.try(h.list[i].at)
	}
	if h.best.Worth == 0 {
		h.any(8 * grace)
	}
	h.improve(4)
	h.improve(12)
}

// fences is how many stops of the fence are tried.
const fences = 24

// fill makes the tables with the present tolls.
func (h *heuristic) fill() {
	if h.right.levels > 0 {
		h.right.fill()
	}
	if h.left != nil {
		h.left.fill()
	}
	if h.gaps != nil {
		h.gaps.fill()
	}
}

func (h *heuristic) try(f int64) {
	if plan := h.assemble(f, anywhere); plan != nil {
		h.offer(plan)
	}
}

// levy sets tolls by how far the best plan of the tables at a stop overruns caps, and
// reports whether anything changed.
func (h *heuristic) levy(f int64, round int) bool {
	p := h.p
	counts := make([]int, len(p.Items))
	switch {
	case h.first < 0:
		m := len(p.Blades) - 1
		if p.Straight {
			m++
		}
		h.right.trace(m, h.right.height(h.right.first(m, 0)), counts)
	default:
		h.right.trace(len(p.Blades)-1-h.last, p.Blades[h.last].Lo-f+p.Kerf, counts)
		if h.left != nil {
			h.left.trace(h.first, -(p.Blades[h.first].Lo - f), counts)
		}
	}
	changed := false
	for k := range counts {
		if p.Items[k].Open == 0 {
			continue
		}
		over := counts[k] - h.allowed[k]
		if over == 0 || over < 0 && h.toll[k] == 0 {
			continue
		}
		step := h.full[k].worth / int64(4+2*round)
		if over > 0 {
			h.toll[k] += step
		} else {
			h.toll[k] = max(h.toll[k]-step/2, 0)
		}
		changed = true
	}
	return changed
}

// improve moves the fence a little, or the first blade if none is fixed, places blades
// again and keeps what is better.
func (h *heuristic) improve(beam int) {
	p := h.p
	h.beam, h.filter = beam, beam+4
	if h.best.Worth == 0 {
		return
	}
	h.again(0)
	for step := int64(1); step <= 64; {
		if !h.spend() {
			return
		}
		if h.again(step*p.Step) || h.again(-step*p.Step) {
			step = 1
			continue
		}
		step *= 2
	}
}

// again places all blades again, a little from their places in the best plan.
func (h *heuristic) again(by int64) bool {
	p := h.p
	f, start := h.best.Fence, anywhere
	if h.first < 0 && !p.Straight {
		start = h.best.Blades[0] - f + by
	} else if f += by; f < p.FenceLo || f > p.FenceHi {
		return false
	}
	plan := h.assemble(f, start)
	return plan != nil && h.offer(plan)
}
