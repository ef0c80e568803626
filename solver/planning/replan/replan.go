// Package replan keeps the values of an order up to date while it is being cut:
// from a sample of the boards seen, and from what is still open, it plans the
// values that fill the rest with the least lumber, again and again.
//
// A Course is all there is to know beside the order and the saw. It is written
// down as JSON, carried elsewhere and goes on there: a planning depends on
// nothing but the Course, the order and the saw, so it comes to the same values
// wherever it is done.
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

// Course is how planning went so far.
type Course struct {
	Sample Sample
	// Tried is how many boards had been seen when the last planning that ended
	// was begun.
	Tried int64
	// Now says that another order or saw came since.
	Now bool
	// Since is how many boards were seen before the order came: dues count from it.
	Since int64
	// Moved is how many boards were seen when stacks last got bays of the outfeed.
	Moved int64 `json:",omitempty"`
	// Planned and Failed count the plannings that ended either way.
	Planned, Failed int32
	// Why the last one failed; empty where it did not.
	Why string
	// Force is the values in force; nil: the order's own.
	Force *Set
	// Last is what planned items were worth as the last board of the order was cut; none
	// where there was none.
	Last []Value `json:",omitempty"`
	// Ahead is values for the order that comes next; nil: none were planned.
	Ahead *Ahead `json:",omitempty"`
	// Left are values that items had which the values in force are without, where Leave keeps
	// them.
	Left []Value `json:",omitempty"`
}

// Set is planned values.
type Set struct {
	Number int32 // of the planning that it came from, from 1
	Seen   int64 // how many boards had been seen when that was begun
	// PerFace is what a square metre of lumber is worth at these values, in money.
	PerFace float64
	Items   []Value
	Late    []Late `json:",omitempty"`
	// Turn is the sequence in which stacks that waited are to get bays of the outfeed, and
	// Phases which stacks have them together from then on, where values were planned so.
	// Free are the values as planned without a limit of bays.
	Turn   []bays.Stack `json:",omitempty"`
	Phases []Phase      `json:",omitempty"`
	Free   []Value      `json:",omitempty"`
}

// Late is an item whose due could not be kept, and within how many boards since
// the order came it could be filled at the soonest.
type Late struct {
	Item       string
	Due, Least int64
}

// Value is what an item is worth. Items that are not planned, or that keep their
// own value, have none.
type Value struct {
	Item  string
	Value int64 // millionths of money per Basis
	Basis order.Basis
	// Open is how much of the item was open when its value was planned, where the
	// value is held to the plan's mix; 0: it is not.
	Open int64      `json:",omitempty"`
	Cuts []CutValue `json:",omitempty"`
}

// CutValue is what a piece of a crosscut length is worth, in millionths of money.
type CutValue struct {
	Length unit.Length
	Value  int64
	Open   int64 `json:",omitempty"` // as Value.Open, in pieces
}

// Due reports whether it is time to plan again, which is to be done every so many
// boards, and where other stacks have got bays since.
func (c *Course) Due(every int64) bool {
	return len(c.Sample.Boards) > 0 && (c.Now || c.Moved > c.Tried || c.Sample.Seen-c.Tried >= every)
}

// Anew has it planned again at once: another saw came.
func (c *Course) Anew() { c.Now, c.Ahead = true, nil }

// Ordered has it planned again at once for another order, whose dues count from
// now. With another name the values so far mean nothing.
func (c *Course) Ordered(renamed bool) {
	c.Now, c.Since, c.Last, c.Ahead = true, c.Sample.Seen, nil, nil
	if renamed {
		c.Force, c.Left = nil, nil
	}
}

// Task is a planning to be done. It shares nothing with its Course.
type Task struct {
	Seen  int64
	Rules map[string]values.Rule

	done    int64            // of the boards that dues count
	dues    map[string]int64 // of the items
	problem values.Problem
	through *through // nil: there are bays enough
}

// Task gives what there is to plan: the items as they stand, what boards under way
// will make included, and with values of their own. lost is the part of a board's
// face that is lost when it is set aside. Nil: nothing is open that can be planned.
func (c *Course) Task(s saw.Saw, items []order.Item, rules map[string]values.Rule, lost int64) *Task {
	if rows, l := demand.New(items); len(l) > 0 || len(rows.Rows) == 0 {
		return nil
	}
	lot := values.Lot{ID: "seen"}
	for i := range c.Sample.Boards {
		// A board in the sample is replaced as a whole, never written to.
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

// The errors of a planning that came to nothing: it was stopped before it had
// values, or no board of the sample gives anything of what is open.
var (
	ErrStopped = errors.New("was stopped before it found values")
	ErrNothing = errors.New("no board seen gives anything that is open")
)

// Bounds on a planning: how near it has to come to the least lumber, how often the
// sample is priced for it, and the search for a board that gives nothing of an item at
// first. It takes plans found soon for the best: its sample is off by more.
const (
	gap    = 2e-3
	rounds = 80
	work   = 300_000
)

// Plan does the planning. How near it has to come, and how often and how long it may
// search, it says itself, whatever the options do.
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
		// One of its lengths speaks for an item: all of them have the same due. What
		// is only later than planning aims at is in time.
		if n := len(out.Late); l.Least > t.dues[id] && (n == 0 || out.Late[n-1].Item != id) {
			out.Late = append(out.Late, Late{id, t.dues[id], l.Least})
		}
	}
	return out, nil
}

// valued gives what a plan makes items worth, and a square metre of lumber.
func (t *Task) valued(pl *values.Planner, plan *values.Plan) (all []Value, perFace float64) {
	pl.Rare(plan)
	items, perFace := pl.ForItems(plan, t.urged(pl.Demand, plan.Late))
	for i := range items {
		v, it := &items[i], &t.problem.Items[i]
		if !v.Planned || t.Rules[it.ID].Keep {
			continue
		}
		entry := Value{Item: it.ID, Value: v.Value, Basis: v.Basis}
		// What is to be filled early is not held to the mix of the whole order.
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

// due reports whether anything is: its values change as its due comes near.
func (t *Task) due() bool {
	for _, due := range t.dues {
		if due > 0 {
			return true
		}
	}
	return false
}

// Take takes the outcome of a task into account: its values into force, or the
// reason why it came to none.
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
