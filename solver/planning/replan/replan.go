// Package replan keeps the values of an order up to date while it is being cut: it
// repeatedly plans, from a sample of the boards seen and from what is still open, the
// values that fill the rest with the least lumber.
//
// A Course is the complete state besides the order and the saw. It can be written as JSON
// and continued elsewhere: a planning depends only on the Course, the order and the saw,
// so it gives the same values everywhere.
package replan

import (
	"errors"
	"slices"

	"github.com/ripwright/ripwright/solver/bays"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/demand"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/planning/values"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
)

// Course is the state of planning for an order.
type Course struct {
	Sample Sample
	// Tried is the number of boards seen when the last finished planning began.
	Tried int64
	// Now says that the order or the saw has changed since.
	Now bool
	// Since is the number of boards seen before the order came: dues count from it.
	Since int64
	// Moved is the number of boards seen when stacks last got bays of the outfeed.
	Moved int64 `json:",omitempty"`
	// Planned and Failed count the plannings that succeeded and failed.
	Planned, Failed int32
	// Why is the reason why the last one failed; empty if it did not.
	Why string
	// Force is the values in force; nil: the order's own.
	Force *Set
	// Last is the values of planned items when the last board of the order was cut; empty
	// if there was none.
	Last []Value `json:",omitempty"`
	// Ahead is values for the next order; nil: none were planned.
	Ahead *Ahead `json:",omitempty"`
	// Left are earlier values of items that have none among those in force, if Leave keeps
	// them.
	Left []Value `json:",omitempty"`
}

// Set is planned values.
type Set struct {
	Number int32 // of the planning, from 1
	Seen   int64 // boards seen when that planning began
	// PerFace is the worth of a square metre of lumber at these values, in money.
	PerFace float64
	Items   []Value
	Late    []Late `json:",omitempty"`
	// Turn is the sequence in which waiting stacks are to get bays of the outfeed, and
	// Phases are the sets of stacks that then have bays together, if values were planned
	// that way. Free are the values as planned without a limit of bays.
	Turn   []bays.Stack `json:",omitempty"`
	Phases []Phase      `json:",omitempty"`
	Free   []Value      `json:",omitempty"`
}

// Late is an item whose due cannot be kept, and the smallest number of boards, counted
// since the order came, within which it can be filled.
type Late struct {
	Item       string
	Due, Least int64
}

// Value is the value of an item. Items that are not planned, or keep their own value,
// have none.
type Value struct {
	Item  string
	Value int64 // millionths of money per Basis
	Basis order.Basis
	// Open is how much of the item was open when its value was planned, if the value is
	// held to the plan's mix; 0: it is not.
	Open int64      `json:",omitempty"`
	Cuts []CutValue `json:",omitempty"`
}

// CutValue is the value of a piece of a crosscut length, in millionths of money.
type CutValue struct {
	Length unit.Length
	Value  int64
	Open   int64 `json:",omitempty"` // as Value.Open, in pieces
}

// Due reports whether it is time to replan: after the given number of boards, or if
// stacks have got bays since the last planning.
func (c *Course) Due(every int64) bool {
	return len(c.Sample.Boards) > 0 && (c.Now || c.Moved > c.Tried || c.Sample.Seen-c.Tried >= every)
}

// Anew requests replanning at once, for another saw.
func (c *Course) Anew() { c.Now, c.Ahead = true, nil }

// Ordered requests replanning at once for another order, whose dues count from now. With
// another name the values so far are dropped.
func (c *Course) Ordered(renamed bool) {
	c.Now, c.Since, c.Last, c.Ahead = true, c.Sample.Seen, nil, nil
	if renamed {
		c.Force, c.Left = nil, nil
	}
}

// Task is a planning to do. It shares nothing with its Course.
type Task struct {
	Seen  int64
	Rules map[string]values.Rule

	done    int64            // of the boards that dues count
	dues    map[string]int64 // of the items
	problem values.Problem
	through *through // nil: there are enough bays
}

// Task gives what there is to plan: the items in their current state, including what
// boards under way will make, and with their own values. lost is the fraction of a
// board's face that is lost when it is set aside. Nil: nothing open can be planned.
func (c *Course) Task(s saw.Saw, items []order.Item, rules map[string]values.Rule, lost int64) *Task {
	if rows, l := demand.New(items); len(l) > 0 || len(rows.Rows) == 0 {
		return nil
	}
	lot := values.Lot{ID: "seen"}
	for i := range c.Sample.Boards {
		// A board in the sample is replaced as a whole, never modified.
		lot.Kinds = append(lot.Kinds, lumber.Kind{Board: c.Sample.Boards[i], Count: 1})
	}
	lot.Kinds = lumber.Merged(lot.Kinds)
	t := &Task{Seen: c.Sample.Seen, Rules: rules, done: c.Sample.Seen - c.Since, dues: map[string]int64{}}
	for i := range items {
		t.dues[items[i].ID] = items[i].Due
	}
	t.problem = values.Problem{Saw: s, Items: sooner(slices.Clone(items), t.done), Lots: []values.Lot{lot}, Objective: values.Face, Lost: lost}
	return t
}

// The errors of a planning without a result: it was stopped before it had values, or no
// board of the sample gives anything of what is open.
var (
	ErrStopped = errors.New("was stopped before it found values")
	ErrNothing = errors.New("no board seen gives anything that is open")
)

// Limits of a planning: its gap to the least lumber, how often the sample is priced for
// it, and the first search for a board that gives nothing of an item. It accepts plans
// found soon as the best: the error of its sample is larger.
const (
	gap    = 2e-3
	rounds = 80
	work   = 300_000
)

// Plan does the planning. It sets the gap and the limits of the search itself, whatever
// the options say.
func (t *Task) Plan(o values.Options) (*Set, error) {
	pl, err := values.New(&t.problem)
	if err != nil {
		return nil, err
	}
	o.Gap, o.Rounds, o.Work, o.Found, o.Done = gap, rounds, work, true, t.done
	plan, err := pl.Plan(t.strips(pl.Demand), o)
	switch {
	case err != nil:
		return nil, err
	case plan.Stopped && o.Stop != nil && o.Stop():
		return nil, ErrStopped
	case plan.Bound == 0:
		return nil, ErrNothing
	}
	out := &Set{Seen: t.Seen}
	late := plan.Late
	if t.through != nil {
		if through, phased, ok := t.phased(pl.Demand, plan, o, out); ok {
			out.Free, _ = t.valued(pl, plan)
			pl, plan = through, phased
		}
	}
	out.Items, out.PerFace = t.valued(pl, plan)
	for _, l := range late {
		id := t.problem.Items[pl.Demand.Rows[l.Row].Item].ID
		// One length stands for its item: all of them have the same due. A row that is late
		// only for the earlier due that planning aims at is in time.
		if n := len(out.Late); l.Least > t.dues[id] && (n == 0 || out.Late[n-1].Item != id) {
			out.Late = append(out.Late, Late{id, t.dues[id], l.Least})
		}
	}
	return out, nil
}

// valued gives the values of items by a plan, and that of a square metre of lumber.
func (t *Task) valued(pl *values.Planner, plan *values.Plan) (all []Value, perFace float64) {
	pl.Rare(plan)
	items, perFace := pl.ForItems(plan, t.urged(pl.Demand, plan.Late))
	for i := range items {
		v, it := &items[i], &t.problem.Items[i]
		if !v.Planned || t.Rules[it.ID].Keep {
			continue
		}
		entry := Value{Item: it.ID, Value: v.Value, Basis: v.Basis}
		// What is due is not held to the mix of the whole order.
		mixed := !t.due() && (t.Rules[it.ID].Times == 0 || t.Rules[it.ID].Times == 1)
		if open, limited := it.Open(); limited && mixed && len(it.Cuts) == 0 {
			entry.Open = open
		}
		for c := range it.Cuts {
			cut := CutValue{Length: it.Cuts[c].Length, Value: v.Cuts[c]}
			if open, limited := it.Cuts[c].Open(); limited && mixed {
				cut.Open = open
			}
			entry.Cuts = append(entry.Cuts, cut)
		}
		all = append(all, entry)
	}
	return all, perFace
}

// due reports whether any item has a due: values then change as it approaches.
func (t *Task) due() bool {
	for _, due := range t.dues {
		if due > 0 {
			return true
		}
	}
	return false
}

// Take records the result of a task: it puts the values into force, or records why there
// are none.
func (c *Course) Take(t *Task, s *Set, why string) {
	anew := c.Now
	c.Tried, c.Why, c.Now = t.Seen, why, false
	if s == nil {
		c.Failed++
		return
	}
	c.Planned++
	s.Number = c.Planned
	if c.Force != nil && !anew && !t.due() {
		c.steady(s)
	}
	c.Force = s
}
