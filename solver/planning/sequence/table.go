package sequence

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/unit"
)

// state is an order on one of its settings; states are numbered consecutively.
type state struct {
	order, setting int
	class          int // states of one class have the same blades
	run            Time
	due            Time // never if the order has none
	weight, start  Time
}

// table has the data of all states: the change times between them, their run times, due
// times and earliest starts.
type table struct {
	p      *Problem
	nodes  []state // the states, and how the arbor stands at the start
	states []state
	of     [][]int // states of each order

	// moved is the number of blades that move, plus one, from a class (last row: from the
	// start) to a class; 0: not computed yet.
	moved   []uint8   // row by row
	row     int       // length of a row
	whole   []bool    // by class: its row has no 0
	costs   [256]Time // of a change, by the value in moved; -1: not computed yet
	minimum []Time    // least change into any state of an order

	// timed: when an order runs affects more than the completion time.
	timed bool
	waits bool      // some order cannot start at once
	near  [][]int32 // by order: those that need little change beside it

	work    int64 // work done
	polled  int64 // work at the last poll of stop
	stop    func() bool
	stopped bool
}

const never = Time(1) << 61

func newTable(p *Problem, stop func() bool) *table {
	t := &table{p: p, of: make([][]int, len(p.Orders)), minimum: make([]Time, len(p.Orders)), stop: stop}
	for i := range p.Orders {
		o := &p.Orders[i]
		due := never
		if o.Due > 0 {
			due, t.timed = o.Due, true
		}
		t.waits = t.waits || o.Start > 0
		t.timed = t.timed || t.waits
		for a := range o.Settings {
			t.of[i] = append(t.of[i], len(t.states))
			t.states = append(t.states, state{order: i, setting: a, run: o.Settings[a].Run, due: due, weight: max(o.Weight, 1), start: o.Start})
		}
	}
	t.classify()
	t.moved = make([]uint8, (t.row+1)*t.row)
	t.whole = make([]bool, t.row+1)
	t.costs[0] = -1
	for m := 2; m < len(t.costs); m++ {
		t.costs[m] = p.Setup + Time(m-1)*p.PerBlade
	}
	return t
}

// classify finds the states with the same blades, which keeps the table of changes small
// enough for the cache.
func (t *table) classify() {
	known := map[string]int{}
	for s := range t.states {
		key := fmt.Sprint(t.setting(s))
		if _, seen := known[key]; !seen {
			known[key] = len(known)
		}
		t.states[s].class = known[key]
	}
	t.row = len(known)
	t.nodes = append(t.states, state{order: -1, class: t.row})
	t.states = t.nodes[:len(t.states)]
}

// over reports whether the search must end. It polls.
func (t *table) over() bool {
	t.polled = t.work
	t.stopped = t.stopped || t.stop != nil && t.stop()
	return t.stopped
}

// often is the work between two polls.
const often = 2000

// spend counts work, and reports whether the search must end; it polls now and then.
func (t *table) spend(work int64) bool {
	t.work += work
	return t.stopped || t.work-t.polled > often && t.over()
}

// least computes the least change into each order: 0 for those not reached before the
// search must end.
func (t *table) least() {
	for i := range t.p.Orders {
		least := Time(-1)
		for _, to := range t.of[i] {
			if t.over() {
				return
			}
			for from := range t.start() + 1 {
				if from < len(t.states) && t.states[from].order == i {
					continue
				}
				if v := t.change(from, to); least < 0 || v < least {
					least = v
				}
			}
		}
		t.minimum[i] = max(least, 0)
	}
}

// blades is the number of blades that move from one state to another.
func (t *table) blades(from, to int) int {
	t.change(from, to)
	return int(t.moved[t.nodes[from].class*t.row+t.nodes[to].class]) - 1
}

// setting gives the blades of a state, or those at the start.
func (t *table) setting(s int) []unit.Length {
	if s == t.start() {
		return t.p.Current
	}
	return t.p.Orders[t.states[s].order].Settings[t.states[s].setting].Blades
}

// change gives the change time from one state to another.
func (t *table) change(from, to int) Time {
	if v := t.costs[t.moved[t.nodes[from].class*t.row+t.nodes[to].class]]; v >= 0 {
		return v
	}
	return t.look(from, to)
}

// changes gives, by class, what moved has for the changes from a state.
func (t *table) changes(from int) []uint8 {
	k := t.nodes[from].class
	if !t.whole[k] {
		for to := range t.states {
			t.change(from, to)
		}
		t.whole[k] = true
	}
	return t.moved[k*t.row:][:t.row]
}

func (t *table) look(from, to int) Time {
	m := uint8(1 + Moved(t.setting(from), t.setting(to)))
	a, b := t.nodes[from].class, t.nodes[to].class
	t.moved[a*t.row+b] = m
	if from < t.start() {
		t.moved[b*t.row+a] = m
	}
	return t.costs[m]
}

// start is the number of the state before the first order.
func (t *table) start() int { return len(t.states) }

// done is when state to is done if it follows state from, which is done at free.
func (t *table) done(free Time, from, to int) Time {
	st := &t.states[to]
	return max(free+t.change(from, to), st.start) + st.run
}

// late is the weighted lateness of a state.
func (t *table) late(s int, done Time) Time {
	st := &t.states[s]
	return max(done-st.due, 0) * st.weight
}

// sequence gives the sequence of a path of states.
func (t *table) sequence(path []int) Sequence {
	var q Sequence
	from := t.start()
	for _, s := range path {
		step := Step{Order: t.states[s].order, Setting: t.states[s].setting, Moved: t.blades(from, s), Change: t.change(from, s)}
		q.Total = t.done(q.Total, from, s)
		step.Start, step.Done, step.Late = q.Total-t.states[s].run, q.Total, max(q.Total-t.states[s].due, 0)
		q.Change += step.Change
		q.Late += step.Late
		q.Weighted += t.late(s, q.Total)
		q.Steps = append(q.Steps, step)
		from = s
	}
	return q
}
