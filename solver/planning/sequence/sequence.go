// Package sequence puts a day's orders in the sequence that costs the least
// changing of the arbor.
//
// Every order can be run on some settings of the fixed blades, each with its
// run time. Between two orders the blades that differ are changed. A sequence is
// best if its orders are least late, added up, and then if all is done soonest.
//
// Orders already done are a set, and what follows depends on that set, on the
// arbor as it stands and on the time, not on how they were sequenced: so the best
// sequences of every set, built up from smaller ones, give the optimum. Moving
// stretches of a sequence finds one to begin with, and what cannot end better than
// that is left out.
package sequence

import (
	"slices"

	"github.com/ripwright/ripwright/solver/unit"
)

// Time in milliseconds.
type Time int64

// Setting is a setting of the fixed blades, in rising order, with the time that
// an order runs on it.
type Setting struct {
	Blades []unit.Length
	Run    Time
}

// Order is an order with the settings that it can be run on.
type Order struct {
	Settings []Setting
	Due      Time // 0: whenever
}

// Problem is the orders as given, the blades as they stand, and what changing
// takes: Setup for any change, PerBlade for each blade that moves.
type Problem struct {
	Orders          []Order
	Current         []unit.Length
	Setup, PerBlade Time
}

// Step is an order in its place.
type Step struct {
	Order, Setting int
	Moved          int // blades put on, taken off or put elsewhere
	Change         Time
	Done, Late     Time
}

// Sequence is orders one after the other.
type Sequence struct {
	Steps               []Step
	Change, Late, Total Time
}

// Result is the best sequence found and what is known about it.
type Result struct {
	Best, Given Sequence
	Proven      bool
	// ChangeBound is what changing takes at least in every sequence.
	ChangeBound Time
}

// Bounds of a problem.
const (
	MaxOrders   = 200
	MaxSettings = 8
	MaxExact    = 14 // orders up to which all sequences are looked at
)

// Moved is how many blades move from one setting to another: a blade that stands
// where one is wanted stays.
func Moved(from, to []unit.Length) int {
	same, i, j := 0, 0, 0
	for i < len(from) && j < len(to) {
		switch {
		case near(from[i], to[j]):
			same, i, j = same+1, i+1, j+1
		case from[i] < to[j]:
			i++
		default:
			j++
		}
	}
	return max(len(from), len(to)) - same
}

// near is how close two positions are the same.
func near(a, b unit.Length) bool { return max(a-b, b-a) <= unit.Micrometre }

// state is an order on one of its settings; states are numbered through.
type state struct{ order, setting int }

// table has what changing takes between all states.
type table struct {
	p      *Problem
	states []state
	of     [][]int // states of each order
	// moved is how many blades, and one, from state (the last row: from the start) to
	// state; 0: not looked at yet.
	moved   [][]uint8
	minimum []Time // least change into any state of an order
	work    int    // labels worked out by walks
	polled  int    // work at the last look at stop
	stop    func() bool
	stopped bool
}

func newTable(p *Problem, stop func() bool) *table {
	t := &table{p: p, of: make([][]int, len(p.Orders)), minimum: make([]Time, len(p.Orders)), stop: stop}
	for i := range p.Orders {
		for a := range p.Orders[i].Settings {
			t.of[i] = append(t.of[i], len(t.states))
			t.states = append(t.states, state{i, a})
		}
	}
	t.moved = make([][]uint8, len(t.states)+1)
	for i := range t.moved {
		t.moved[i] = make([]uint8, len(t.states))
	}
	return t
}

// over reports whether the search has to end. It polls.
func (t *table) over() bool {
	t.polled = t.work
	t.stopped = t.stopped || t.stop != nil && t.stop()
	return t.stopped
}

// least works out the least change into each order: 0 for those that it does not come
// to before the search has to end.
func (t *table) least() {
	for i := range t.p.Orders {
		least := Time(-1)
		for _, to := range t.of[i] {
			if t.over() {
				return
			}
			for from := range t.moved {
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

// blades is how many move from one state to another.
func (t *table) blades(from, to int) int {
	m := &t.moved[from][to]
	if *m == 0 {
		*m = uint8(1 + Moved(t.setting(from), t.setting(to)))
	}
	return int(*m) - 1
}

// setting gives the blades of a state, or those at the start.
func (t *table) setting(s int) []unit.Length {
	if s == t.start() {
		return t.p.Current
	}
	return t.p.Orders[t.states[s].order].Settings[t.states[s].setting].Blades
}

// change is how long it takes from one state to another.
func (t *table) change(from, to int) Time {
	m := t.blades(from, to)
	if m == 0 {
		return 0
	}
	return t.p.Setup + Time(m)*t.p.PerBlade
}

// start is the number of the state before the first order.
func (t *table) start() int { return len(t.states) }

func (t *table) run(s int) Time {
	return t.p.Orders[t.states[s].order].Settings[t.states[s].setting].Run
}

func (t *table) late(s int, done Time) Time {
	due := t.p.Orders[t.states[s].order].Due
	if due == 0 {
		return 0
	}
	return max(done-due, 0)
}

// sequence writes states out.
func (t *table) sequence(path []int) Sequence {
	var q Sequence
	from := t.start()
	for _, s := range path {
		step := Step{Order: t.states[s].order, Setting: t.states[s].setting, Moved: t.blades(from, s), Change: t.change(from, s)}
		q.Total += step.Change + t.run(s)
		step.Done, step.Late = q.Total, t.late(s, q.Total)
		q.Change += step.Change
		q.Late += step.Late
		q.Steps = append(q.Steps, step)
		from = s
	}
	return q
}

// Solve gives the best sequence. stop, polled often, ends the search with the
// best so far; nil: never. Given then has the settings that the search had come to.
func Solve(p *Problem, stop func() bool) *Result {
	t := newTable(p, stop)
	n := len(p.Orders)
	given := make([]int, n)
	for i := range given {
		given[i] = i
	}
	r := &Result{}
	first := t.newWalk(given)
	r.Given = t.sequence(first.states())
	t.least()
	for _, v := range t.minimum {
		r.ChangeBound += v
	}
	end, path := t.improve(given)
	if first.end().less(&end) { // what was stopped may have less of it
		end, path = *first.end(), first.states()
	}
	r.Best = t.sequence(path)
	if n <= MaxExact {
		if better, whole := t.exact(end); whole {
			if better != nil {
				r.Best = t.sequence(better)
			}
			r.Proven = true
			return r
		}
	}
	// Nothing is late, and nothing could be done sooner.
	soonest := r.ChangeBound
	for i := range p.Orders {
		soonest += slices.MinFunc(p.Orders[i].Settings, func(a, b Setting) int { return int(a.Run - b.Run) }).Run
	}
	r.Proven = r.Best.Late == 0 && r.Best.Total == soonest
	return r
}
