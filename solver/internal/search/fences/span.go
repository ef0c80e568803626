package fences

import (
	"slices"

	"github.com/ripwright/ripwright/solver/internal/search/budget"
	"github.com/ripwright/ripwright/solver/internal/search/costtogo"
	"github.com/ripwright/ripwright/solver/internal/search/layered"
	"github.com/ripwright/ripwright/solver/internal/search/model"
	"github.com/ripwright/ripwright/solver/internal/search/resource"
)

// span is the space between two fixed blades in which others move. It is worked out at
// one stop of the fence at a time, and once for all at which it is clear.
type span struct {
	*costtogo.Span
	graph  *layered.Graph
	budget *budget.Budget
	states *resource.States
	clear  *fillings // nil: not known
	full   bool      // there was not the memory
	last   []int     // windows of a fence at which the span was worked out, and what it brings
	brings int64
}

// fillings is what a span brings at a fence: in all, and by what it may use of the caps.
type fillings struct {
	most int64
	by   []filling // by state; nil where that was not asked for
}

// filling is the best that a span brings with a state.
type filling struct {
	up     int64 // below 0: its blades cannot stand
	score  model.Score
	travel int64
	blades []int64 // those between the fixed ones, and the second of these
	wants  []int
}

// begin forgets what was worked out with other states.
func (c *span) begin(t *resource.States, b *budget.Budget) {
	c.states, c.budget, c.clear, c.full, c.last = t, b, nil, false, c.last[:0]
}

// most bounds what the span brings at a fence, and reports whether it brings that much
// but for rounding.
func (c *span) most(f int64) (int64, bool) {
	if c.Clear(f) {
		if c.clear == nil {
			w := c.at(f, true)
			c.clear = &w
		}
		return c.clear.most, true
	}
	known := int64(-1)
	if c.clear != nil && c.states.Count == 1 {
		// With states kept, strips cut short may be worth more than clear ones: of an
		// item with 2 m open one clear strip of 3 m ends it, one of 1.5 m does not.
		known = c.clear.most
	}
	return c.Loose(f, known), false
}

// fillings gives what the span brings at a fence.
func (c *span) fillings(f int64) *fillings {
	if c.Clear(f) && c.clear != nil {
		return c.clear
	}
	w := c.at(f, true)
	if c.Clear(f) {
		c.clear = &w
	}
	return &w
}

// sharp gives what the span brings at a fence. It is the same as at the one before where
// both fixed blades stand beside the wood and the others reach all of it.
func (c *span) sharp(f int64) int64 {
	c.budget.Spend(1)
	c.Within(f, f, true)
	n := len(c.last)
	c.last = c.Windows(c.last)
	if slices.Equal(c.last[:n], c.last[n:]) {
		c.last = c.last[:n]
		return c.brings
	}
	c.last = slices.Delete(c.last, 0, n)
	c.brings = c.at(f, false).most
	return c.brings
}

// at works the span out at a fence, by state if asked to.
func (c *span) at(f int64, states bool) (w fillings) {
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
	near, _ := c.Entries(f)
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
