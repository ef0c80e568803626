// Package sequence finds the sequence of a day's orders with the least lateness and the
// least change of the arbor.
//
// Every order can be run on some settings of the fixed blades, each with its run time.
// The blades that differ are changed between two orders. The best sequence has the least
// total weighted lateness, and of those with the same lateness the earliest completion.
//
// The search starts from the best of several constructions and improves it: orders and
// stretches of them are moved, exchanged and reversed, and put on other settings, as long
// as that helps. Then, in rounds spread over the available work or time, it anneals, and
// perturbs the best sequence somewhere and improves it there again (iterated local
// search). A move is evaluated only from what it changes.
//
// Few orders are solved exactly. What follows a set of done orders depends on that set,
// on the arbor as it stands and on the time, not on their sequence: so the best sequences
// of every set, built up from smaller sets, give the optimum.
package sequence

import (
	"github.com/ripwright/ripwright/solver/internal/published"
	"github.com/ripwright/ripwright/solver/unit"
)

// Time in milliseconds.
type Time int64

// Setting is a setting of the fixed blades, in ascending order, with the run time of an
// order on it.
type Setting struct {
	Blades []unit.Length
	Run    Time
}

// Order is an order with the settings that it can be run on.
type Order struct {
	Settings []Setting
	Due      Time // 0: none
	// Start is the earliest time when it can begin to run; the arbor may be changed
	// before.
	Start  Time
	Weight Time // weight of a millisecond late, at most MaxWeight; 0 means 1
}

// Problem is the orders as given, the blades as they stand, and the times for a change:
// Setup for any change, PerBlade for each blade that moves.
type Problem struct {
	Orders          []Order
	Current         []unit.Length
	Setup, PerBlade Time
	// Work limits the search once it has a first sequence, counted the same on every
	// machine; 0: UsualWork.
	Work int64
	// Spent, if not nil, gives the fraction of the search's time that is spent, 0 to 1: if
	// time ends the search before the work does, it spreads over that time.
	Spent func() float64
}

// Step is an order in its place.
type Step struct {
	Order, Setting    int
	Moved             int // blades added, removed or moved
	Change            Time
	Start, Done, Late Time
}

// Sequence is orders one after another. Weighted is their weighted lateness.
type Sequence struct {
	Steps                         []Step
	Change, Late, Weighted, Total Time
}

// Result is the best sequence found and its bounds.
type Result struct {
	Best, Given Sequence
	Proven      bool
	// Constructed is the best sequence that the search started from.
	Constructed Sequence
	// ChangeBound is a lower bound on the change time of every sequence, LateBound on its
	// weighted lateness, and TotalBound on its completion time.
	ChangeBound, LateBound, TotalBound Time
	// Work is how much the search took.
	Work int64
}

// Limits of a problem.
const (
	MaxOrders   = published.MostEntriesOfSequenceOrdersRequestJobs
	MaxSettings = published.MostEntriesOfSequenceJobArbors
	MaxExact    = 14 // most orders for which all sequences are searched
	MaxWeight   = published.MostSequenceJobWeight
	// UsualWork is the work per order if a problem does not specify it.
	UsualWork = 1_000_000
)

// Moved is the number of blades that move from one setting to another: a blade that
// stands where one is wanted stays.
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

// near reports whether two positions are the same within a micrometre.
func near(a, b unit.Length) bool { return max(a-b, b-a) <= unit.Micrometre }

// Solve gives the best sequence. stop, polled often, ends the search with the best so
// far; nil: never. Given is then on the settings found so far.
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

// exactFirst is the work per order before all sequences are searched: a good sequence
// prunes what cannot be better.
const exactFirst = 10_000

// known reports whether the bounds prove the best sequence.
func (t *table) known(r *Result) bool {
	return r.Best.Weighted == r.LateBound && r.Best.Total == r.TotalBound
}
