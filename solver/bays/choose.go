package bays

import (
	"cmp"
	"slices"

	"github.com/ripwright/ripwright/solver/unit"
)

// Change is a bay that gets another stack. The zero Stack: it was empty.
type Change struct {
	Bay  int
	From Stack
}

// Choose gives the bays for the next board. wants has each stack of the order once, in
// the order of the items. cost is the cost of a change; zero: no stack loses its bay
// because of wood lost for want of another. short lists the indices in wants of forced
// stacks for which there are too few bays. b itself does not change.
func (b *Bays) Choose(wants []Want, cost unit.Worth) (next *Bays, changes []Change, short []int) {
	c := choice{Bays: &Bays{In: slices.Clone(b.In)}, wants: wants, at: make(map[Stack]int, len(wants)), known: make([]Waits, len(wants))}
	for i := range wants {
		c.at[wants[i].Stack], c.known[i].Stack = i, wants[i].Stack
	}
	for _, w := range b.Waits {
		if i, ok := c.at[w.Stack]; ok {
			c.known[i] = w
		}
	}
	c.wait()
	c.free()
	short = c.force()
	c.unused()
	if cost.Cmp(unit.Worth{}) > 0 {
		c.lost(cost.Add(cost))
	}
	for i := range c.known {
		if w := c.known[i]; w != (Waits{Stack: w.Stack}) && c.Find(w.Stack) < 0 {
			c.Waits = append(c.Waits, w)
		}
	}
	for i := range b.In {
		if b.In[i].Stack != c.In[i].Stack {
			changes = append(changes, Change{i, b.In[i].Stack})
		}
	}
	return c.Bays, changes, short
}

// choice is a choice of the bays' contents in progress.
type choice struct {
	*Bays
	wants   []Want
	at      map[Stack]int
	known   []Waits // for each of wants
	waiting []int   // indices in wants, in the order in which they get bays
}

// wait lists the stacks that want a bay and have none.
func (c *choice) wait() {
	for i := range c.wants {
		if w := &c.wants[i]; (!w.Full || w.Forced) && c.Find(w.Stack) < 0 {
			c.waiting = append(c.waiting, i)
		}
	}
	slices.SortStableFunc(c.waiting, func(i, j int) int {
		a, b := &c.wants[i], &c.wants[j]
		return cmp.Or(first(a.Forced, b.Forced), first(!a.Later, !b.Later), cmp.Compare(c.known[i].Passed, c.known[j].Passed), cmp.Compare(a.Turn, b.Turn), b.more(a))
	})
}

// more compares by what is open; an endless want exceeds all others, and one of the next
// order is less than all.
func (w *Want) more(v *Want) int {
	return cmp.Or(first(!v.Later, !w.Later), first(v.Endless, w.Endless), w.Open.Cmp(v.Open))
}

func first(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return -1
	}
	return 1
}

// give gives a bay to a waiting stack.
func (c *choice) give(bay, waits int) {
	i := c.waiting[waits]
	c.In[bay] = Bay{Stack: c.wants[i].Stack}
	c.known[i].Lost = unit.Worth{}
	c.waiting = slices.Delete(c.waiting, waits, waits+1)
}

// done reports whether the stack in a bay no longer needs it.
func (c *choice) done(bay int) bool {
	i, ok := c.at[c.In[bay].Stack]
	return !ok || c.wants[i].Full && !c.wants[i].Forced
}

// free gives waiting stacks the bays that are empty, then those that nobody needs any
// more, and then, for the order in force, those of the next one.
func (c *choice) free() {
	for _, empty := range []bool{true, false} {
		for bay := range c.In {
			if len(c.waiting) > 0 && (c.In[bay].Stack == Stack{}) == empty && c.done(bay) {
				c.give(bay, 0)
			}
		}
	}
	for bay := range c.In {
		if len(c.waiting) > 0 && !c.wants[c.waiting[0]].Later && c.later(bay) {
			c.give(bay, 0)
		}
	}
}

// later reports whether the stack in a bay is for the next order alone.
func (c *choice) later(bay int) bool {
	i, ok := c.at[c.In[bay].Stack]
	return ok && c.wants[i].Later && !c.wants[i].Forced
}

// force gives bays to the forced stacks that still wait.
func (c *choice) force() (short []int) {
	for len(c.waiting) > 0 && c.wants[c.waiting[0]].Forced {
		bay := c.least()
		if bay < 0 {
			for _, i := range c.waiting {
				if c.wants[i].Forced {
					short = append(short, i)
				}
			}
			return short
		}
		c.give(bay, 0)
	}
	return nil
}

// unused takes bays from stacks for which boards yield nothing.
func (c *choice) unused() {
	for bay := range c.In {
		if len(c.waiting) == 0 || c.In[bay].Unused < Patience || c.wants[c.waiting[0]].Later && !c.later(bay) {
			continue
		}
		i := c.at[c.In[bay].Stack] // a stack that is none of wants has lost its bay by now
		if c.wants[i].Forced {
			continue
		}
		c.known[i].Passed++
		c.give(bay, 0)
	}
}

// lost gives a bay to the stack for want of which most was lost, if that is enough.
func (c *choice) lost(enough unit.Worth) {
	most := -1
	for k, i := range c.waiting {
		if l := c.known[i].Lost; !c.wants[i].Later && l.Cmp(enough) >= 0 && (most < 0 || l.Cmp(c.known[c.waiting[most]].Lost) > 0) {
			most = k
		}
	}
	if bay := c.least(); most >= 0 && bay >= 0 {
		c.give(bay, most)
	}
}

// least is the bay of the stack with least open that is not forced; below 0: there is
// none.
func (c *choice) least() (bay int) {
	bay = -1
	var least *Want
	for k := range c.In {
		w := &c.wants[c.at[c.In[k].Stack]] // if any waits, every bay has one of wants
		if !w.Forced && (least == nil || w.more(least) < 0) {
			bay, least = k, w
		}
	}
	return bay
}
