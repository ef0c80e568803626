// Package sequence puts a day's orders in the sequence that costs the least
// changing of the arbor.
//
// Every order can be run on some settings of the fixed blades, each with its
// run time. Between two orders the blades that differ are changed. A sequence is
// best if its orders are least late, each by its weight and added up, and then if
// all is done soonest.
//
// The search begins with the best of several constructions and improves it: orders
// and stretches of them are moved elsewhere, exchanged and turned round, and put on
// other settings, for as long as that helps. Then, in rounds laid out over the work or
// the time that there is, it anneals, and disturbs what was found somewhere and improves
// it there again (iterated local search). What a move does is worked out from what it
// changes alone.
//
// Few orders are solved exactly. Orders already done are a set, and what follows
// depends on that set, on the arbor as it stands and on the time, not on how they were
// sequenced: so the best sequences of every set, built up from smaller ones, give the
// optimum.
package sequence

import "github.com/ripwright/ripwright/solver/unit"

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
	// Start is when it can begin to run at the soonest; the arbor may be changed before.
	Start  Time
	Weight Time // what a millisecond late counts, at most MaxWeight; 0 is 1
}

// Problem is the orders as given, the blades as they stand, and what changing
// takes: Setup for any change, PerBlade for each blade that moves.
type Problem struct {
	Orders          []Order
	Current         []unit.Length
	Setup, PerBlade Time
	// Work bounds the search once it has a first sequence, counted the same on every
	// machine; 0: UsualWork.
	Work int64
	// Spent, if not nil, tells how much of its time the search has had, 0 to 1: where time
	// ends it before the work does, it is laid out over that time.
	Spent func() float64
}

// Step is an order in its place.
type Step struct {
	Order, Setting    int
	Moved             int // blades put on, taken off or put elsewhere
	Change            Time
	Start, Done, Late Time
}

// Sequence is orders one after the other. Weighted is how late they are, by their
// weights.
type Sequence struct {
	Steps                         []Step
	Change, Late, Weighted, Total Time
}

// Result is the best sequence found and what is known about it.
type Result struct {
	Best, Given Sequence
	Proven      bool
	// Constructed is the best sequence that the search began with.
	Constructed Sequence
	// ChangeBound is what changing takes at least in every sequence, LateBound how late
	// each is at least, by weights, and TotalBound when all is done at the soonest.
	ChangeBound, LateBound, TotalBound Time
	// Work is how much the search took.
	Work int64
}

// Bounds of a problem.
const (
	MaxOrders   = 200
	MaxSettings = 8
	MaxExact    = 14 // orders up to which all sequences are looked at
	MaxWeight   = 1000
	// UsualWork is the work for each order where a problem does not say.
	UsualWork = 1_000_000
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
	first := t.newWalk(given, nil)
	r.Given = t.sequence(first.states())
	t.least()
	for _, v := range t.minimum {
		r.ChangeBound += v
	}
	t.bounds(r)
	path := t.construct(given, first.states())
	r.Constructed = t.sequence(path)
	r.Best = r.Constructed
	if !t.known(r) {
		work := p.Work
		if work == 0 {
			work = UsualWork * int64(n)
		}
		if n <= MaxExact {
			work = min(work, exactFirst*int64(n))
		}
		r.Best = t.sequence(t.improve(path, t.work+work, r))
	}
	r.Proven = t.known(r)
	if n <= MaxExact && !r.Proven {
		better, whole := t.exact(label{late: r.Best.Weighted, done: r.Best.Total})
		if better != nil {
			r.Best = t.sequence(better)
		}
		r.Proven = whole
	}
	r.Work = t.work
	return r
}

// exactFirst is the work for each order that is spent before all sequences are looked
// at: what cannot be better than a good one is left out.
const exactFirst = 10_000

// known reports whether the bounds prove the best sequence.
func (t *table) known(r *Result) bool {
	return r.Best.Weighted == r.LateBound && r.Best.Total == r.TotalBound
}
