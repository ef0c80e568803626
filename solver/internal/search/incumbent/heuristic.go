package incumbent

import (
	"slices"

	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// heuristic is the state of a run.
type heuristic struct {
	p *Problem
	o Options

	edges      edges
	whole      []wood.Stretch
	full       []strip // per item, clear from end to end; none for items by width
	rate       []int64 // per item by width: worth of 2^20 nm that are clear
	cost       int64   // steps of work to measure a strip
	work       int64   // not yet counted
	spent      int64   // counted
	every      int     // of the items after a range, one in every so many is tried
	over       bool    // a limit has ended the search
	ended      bool    // and what a run takes regardless is used up
	regardless int64   // spent when that began, see grace

	grid         int64
	right, left  *side
	relaxed      *relaxed // what estimates before there are tables
	gaps         *room    // what lies between two fixed blades; nil: nothing does
	first, last  int      // fixed blades, or -1
	capped       bool
	toll         []int64 // Lagrange multipliers, per item
	allowed      []int   // strips that a cap leaves room for, per item
	best         Plan
	list         []stop // of the fence, most promising first
	at           int    // how many of them were tried without tables
	tabled       bool   // the tables are complete
	labels       []label
	layer, ahead []int32
	found        []candidate
	others       []used
	fits         [][]int // per fixed blade whose neighbour before it is fixed: items
	beam, filter int
}

type strip struct{ worth, amount int64 }

func newHeuristic(p *Problem, o Options) *heuristic {
	h := &heuristic{p: p, o: o, first: -1, last: -1}
	h.edges.clear = p.Clear
	h.edges.near.reset()
	h.edges.far.reset()
	h.whole = []wood.Stretch{{From: 0, To: p.Clear.Length()}}
	h.cost = 1 + int64(p.Edges)/64
	n := len(p.Items)
	h.full, h.rate, h.toll, h.allowed = make([]strip, n), make([]int64, n), make([]int64, n), make([]int, n)
	for k := range p.Items {
		it := &p.Items[k]
		width := it.Lo
		if it.ByWidth {
			width = it.Hi
		}
		// Heights matter only to defects, and above the wood there are none.
		w, amount := p.Strip(k, p.OuterHi, p.OuterHi+width, h.whole)
		h.full[k] = strip{w, amount}
		if it.ByWidth {
			h.rate[k] = unit.MulDiv(w, 1<<20, width)
		}
		h.allowed[k] = len(p.Blades) + 1
		if it.Open > 0 {
			h.capped = true
			if amount > 0 {
				h.allowed[k] = int(min(unit.CeilDiv(it.Open, amount), int64(h.allowed[k])))
			}
		}
	}
	for j := range p.Blades {
		if !p.Blades[j].Moving {
			if h.first < 0 {
				h.first = j
			}
			h.last = j
		}
	}
	ranges := 0
	for k := range p.Items {
		if p.Items[k].Hi > p.Items[k].Lo {
			ranges++
		}
	}
	h.every = 1 + len(p.Items)*ranges/manyPairs
	h.fits = make([][]int, len(p.Blades))
	for j := 1; j < len(p.Blades); j++ {
		if p.Blades[j].Moving || p.Blades[j-1].Moving {
			continue
		}
		width := p.Blades[j].Lo - p.Blades[j-1].Lo - p.Kerf
		for k := range p.Items {
			if it := &p.Items[k]; it.Lo <= width && (width <= it.Hi || p.Straight) {
				h.fits[j] = append(h.fits[j], k)
			}
		}
	}
	return h
}

// manyPairs is the most ends of ranges that a label is tried with, each as an item after
// it would have it. If there are more, only some are.
const manyPairs = 2048

// How many steps a run takes regardless of the limits: until it has a plan of any worth,
// and for a good one, some tenths of a millisecond.
const (
	grace = 8000
	early = 3000
)

// each is how many of a search's steps one of these counts as.
const each = 8

// spend counts the work done and reports whether to continue.
func (h *heuristic) spend() bool {
	if h.ended {
		return false
	}
	w := h.work + 1
	h.work = 0
	h.spent += w
	w *= each
	most := int64(grace)
	if h.best.Worth > 0 {
		most = early
	}
	h.over = h.o.Spend != nil && !h.o.Spend(w)
	h.ended = h.over && h.spent-h.regardless > most
	return !h.ended
}

// offer takes a plan if it is better than the best.
func (h *heuristic) offer(p *Plan) bool {
	if p.Worth <= h.best.Worth {
		return false
	}
	h.best = Plan{p.Fence, slices.Clone(p.Blades), slices.Clone(p.Items), p.Worth}
	kept := Plan{p.Fence, slices.Clone(p.Blades), slices.Clone(p.Items), p.Worth}
	h.o.Offer(&kept)
	return true
}

func (h *heuristic) stopUp(v int64) int64   { return unit.CeilDiv(v, h.p.Step) * h.p.Step }
func (h *heuristic) stopDown(v int64) int64 { return unit.FloorDiv(v, h.p.Step) * h.p.Step }
