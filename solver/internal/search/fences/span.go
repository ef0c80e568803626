package fences

import (
	"slices"

	"github.com/ripwright/ripwright/solver/internal/search/budget"
	"github.com/ripwright/ripwright/solver/internal/search/costtogo"
	"github.com/ripwright/ripwright/solver/internal/search/layered"
	"github.com/ripwright/ripwright/solver/internal/search/model"
	"github.com/ripwright/ripwright/solver/internal/search/resource"
)

// span is the space between two fixed blades in which others move. It is computed once
// for all stops of the fence at which it is clear, by one set of tables for those at
// which one of the two stands beside the wood and no travel matters, and otherwise stop
// by stop.
type span struct {
	*costtogo.Span
	halves [2]half // beyond the near blade, before the far one
	graph  *layered.Graph
	budget *budget.Budget
	states *resource.States
	clear  *fillings // nil: not known
	full   bool      // the memory was not enough
	last   []int     // windows of a fence at which the span was computed, and what it brings
	brings int64
	rows   map[int][]int64 // of fence stops, with a bound on what the span brings at each
}

// half is the tables of a span that serve all fences at which it is open on that side.
type half struct {
	side   *costtogo.Side
	graph  *layered.Graph
	built  bool
	traced bool // whether the graph is that of the tables
}

// open gives the half that the span equals at a stop of the fence and the entry of its
// fixed blade, or nil. If its tables are not made, they are made if build is set;
// otherwise it is nil too.
func (c *span) open(t int, build bool) (h *half, e int) {
	right, left := c.Open(t)
	switch {
	case right:
		h = &c.halves[0]
	case left:
		h = &c.halves[1]
	default:
		return nil, 0
	}
	if !h.built && !build {
		return nil, 0
	}
	f := c.P.M.Fence(t)
	if h.side == nil {
		c.P.Lasting(func() { h.side = c.Half(left) })
	}
	if !h.built {
		h.side.Within(f, f, false)
		h.side.Wide()
		if !h.side.Build(c.states) {
			c.full = true
			return nil, 0
		}
		h.built = true
	}
	return h, h.side.Entry(c.P.M.Blades[h.side.Root].Lo - f)
}

// halved is at for a half.
func (c *span) halved(h *half, f int64, e int) (w fillings) {
	g, m := h.graph, c.P.M
	if !h.traced {
		if g.Reset(h.side, c.budget); g.Full {
			c.full = true
			return w
		}
		h.traced = true
	}
	g.Within(f, f)
	w.most = h.side.At(h.side.Moving, c.states.Count-1, e)
	w.by = make([]filling, c.states.Count)
	far := m.Blades[c.Root+c.Moving].Lo
	for st := range w.by {
		x := &w.by[st]
		if x.up = h.side.At(h.side.Moving, st, e); x.up < 0 {
			continue
		}
		x.score = g.Top(st, e)
		x.travel = g.Least(st, e)
		var ok bool
		if x.blades, x.wants, ok = g.Path(st, e); !ok || g.Full {
			c.full = true
			return w
		}
		x.blades = append(x.blades, far)
		if h.side.Left {
			x.wants = slices.Insert(x.wants, 0, model.None)
			if m.InWood(far - f) {
				x.score.Blades++
			}
		} else {
			x.wants = append(x.wants, model.None)
		}
	}
	return w
}

// fillings is what a span brings at a fence: in total, and by the state of the caps.
type fillings struct {
	most int64
	by   []filling // by state; nil if that was not asked for
}

// filling is the best that a span brings with a state.
type filling struct {
	up     int64 // below 0: its blades cannot stand
	score  model.Score
	travel int64
	blades []int64 // those between the fixed ones, and the second of these
	wants  []int
}

// begin forgets what was computed with other states.
func (c *span) begin(t *resource.States, b *budget.Budget) {
	c.states, c.budget, c.clear, c.full, c.last, c.rows = t, b, nil, false, c.last[:0], nil
	for k := range c.halves {
		c.halves[k].built, c.halves[k].traced = false, false
	}
}

// most bounds what the span brings at a stop of the fence, and reports whether that is
// exact except for rounding.
func (c *span) most(t int) (int64, bool) {
	if c.Clear(t) {
		if c.clear == nil {
			w := c.at(t, true)
			c.clear = &w
		}
		return c.clear.most, true
	}
	if h, e := c.open(t, false); h != nil {
		return h.side.At(h.side.Moving, c.states.Count-1, e), true
	}
	known := int64(-1)
	if c.clear != nil && c.states.Count == 1 && !c.P.M.Crosscuts() {
		// With states kept, strips cut short may be worth more than clear ones: of an
		// item with 2 m open one clear strip of 3 m fills it, one of 1.5 m does not. The
		// same holds if two runs give more pieces than one.
		known = c.clear.most
	}
	return c.Loose(t, known), false
}

// fillings gives what the span brings at a stop of the fence.
func (c *span) fillings(t int) *fillings {
	if c.Clear(t) && c.clear != nil {
		return c.clear
	}
	if h, e := c.open(t, true); h != nil && !c.full {
		w := c.halved(h, c.P.M.Fence(t), e)
		return &w
	}
	w := c.at(t, true)
	if c.Clear(t) {
		c.clear = &w
	}
	return &w
}

// sharp gives what the span brings at a stop of the fence. It is the same as at the stop
// before if both fixed blades stand beside the wood and the others reach all of it.
func (c *span) sharp(t int) int64 {
	c.budget.Spend(1)
	if h, e := c.open(t, true); h != nil || c.full {
		if c.full {
			return 0
		}
		return h.side.At(h.side.Moving, c.states.Count-1, e)
	}
	f := c.P.M.Fence(t)
	c.Within(f, f, true)
	n := len(c.last)
	c.last = c.Windows(c.last)
	if slices.Equal(c.last[:n], c.last[n:]) {
		c.last = c.last[:n]
		return c.brings
	}
	c.last = slices.Delete(c.last, 0, n)
	c.brings = c.at(t, false).most
	return c.brings
}

// rowStops is how many fence stops a row has.
const rowStops = 32

// inRow bounds what the span brings at a fence stop by tables in which the other blades
// stand wherever they can at any stop of its row: moving a far blade by a few stops
// seldom allows more to be cut.
func (c *span) inRow(t int) int64 {
	b := t / rowStops
	if l := c.rows[b]; l != nil {
		return l[t-b*rowStops]
	}
	m := c.P.M
	lo, hi := b*rowStops, min((b+1)*rowStops, m.Fences())-1
	if bytes := int64(2 * 8 * rowStops); !c.budget.Fits(bytes) || !c.budget.Hold(bytes) {
		c.full = true
		return 0
	}
	held, _ := c.budget.Held()
	mark := c.P.Mark()
	c.Within(m.Fence(lo), m.Fence(hi), true)
	c.full = !c.Build(c.states) || c.full
	l := make([]int64, hi-lo+1)
	for k := range l {
		if near, _ := c.Entries(lo + k); !c.full {
			l[k] = c.At(c.Moving, c.states.Count-1, int(near))
		}
	}
	c.P.Back(mark)
	now, _ := c.budget.Held()
	c.budget.Free(now - held)
	if c.rows == nil {
		c.rows = map[int][]int64{}
	}
	c.rows[b] = l
	return l[t-lo]
}

// at computes the span at a stop of the fence, by state if asked to.
func (c *span) at(t int, states bool) (w fillings) {
	f := c.P.M.Fence(t)
	held, _ := c.budget.Held()
	mark := c.P.Mark()
	defer func() {
		c.P.Back(mark)
		now, _ := c.budget.Held()
		c.budget.Free(now - held)
	}()
	c.Within(f, f, true)
	if !c.Build(c.states) {
		c.full = true
		return w
	}
	near, _ := c.Entries(t)
	e := int(near)
	w.most = c.At(c.Moving, c.states.Count-1, e)
	if !states {
		return w
	}
	g := c.graph
	if g.Reset(c.Side, c.budget); g.Full {
		c.full = true
		return w
	}
	g.Within(f, f)
	w.by = make([]filling, c.states.Count)
	for st := range w.by {
		x := &w.by[st]
		x.up = c.At(c.Moving, st, e)
		if x.up < 0 {
			continue
		}
		x.score = g.Top(st, e)
		x.travel = g.Least(st, e)
		var ok bool
		if x.blades, x.wants, ok = g.Path(st, e); !ok || g.Full {
			c.full = true
			return w
		}
	}
	return w
}
