// Package quote says what an order will take: boards, lumber, money and saw
// hours, each as what to expect and an interval to rely on.
//
// The order is run to its end again and again on boards drawn anew, cut as a
// line would cut them: the best plan for each board, items off once they are
// filled, values planned again as the order fills. The runs are all alike, so
// their ranks give an interval for one more run without any assumption on how
// they are spread.
package quote

import (
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/planning/values"
	"github.com/ripwright/ripwright/solver/run"
)

// Policy is what boards are cut by.
type Policy int

// The policies.
const (
	Planned Policy = iota // planned values, planned again as the order fills
	Own                   // the order's own values
	Yield                 // strip area alone
)

// Pace is how fast the saw works, as a live line's cycles are estimated; what is
// 0 takes no time.
type Pace struct {
	run.Pace
	ShiftHours float64 // hours in a shift
}

// Problem is an order with the lumber that it will be cut from.
type Problem struct {
	Values values.Problem // its lots' samples are what values are planned for
	Lots   []lumber.Lot   // what boards are drawn from
	Pace   Pace
	// Scrap is for every row of the demand what part more has to be made.
	// Nil: nothing.
	Scrap []float64
	// Stock says that boards are bought: the lots of the plan are taken in its
	// proportions, as evenly as boards are whole, and of a lot that Values limits no
	// more than there are. Else which lot a board is of is drawn.
	Stock bool
}

// Options of a quote.
type Options struct {
	// Policies to run, each on the same boards. The first is the quote.
	Policies []Policy
	Runs     int // as many runs of each
	// Against has the first few runs done for yield alone too, where that is not asked
	// for, to see whether planned values take less.
	Against bool
	Level   float64 // how likely one more run shall fall into the interval
	Seed    uint64
	// MostBoards ends a run that does not fill the order. One that has come to a
	// standstill ends sooner.
	MostBoards int
	// Replan is after how many boards planned values are planned again; 0: never.
	Replan int
	// Values are the options of planning. Its Stop ends the quote, its Each runs
	// the runs side by side.
	Values values.Options
	// Ended is told of the plan, and of what is wanted in all, once the runs have ended.
	// Nil: nobody is.
	Ended func(pl *values.Planner, plan *values.Plan, open []int64)
	// Progress is told after every run how many are done, by whoever ran it.
	Progress func(runs int)
}

// Bounds of a quote.
const (
	MostRuns   = 1_000
	MostBoards = 1_000_000
)

// Interval is what to expect of a run, and between what one more run will be as
// likely as Options.Level says.
type Interval struct{ Expected, Low, High float64 }

// Row is what becomes of one row of the demand.
type Row struct {
	Made     Interval // in metres, square metres or pieces
	FilledAt Interval // the board that filled it; means nothing unless Filled is Runs
	Filled   int      // in how many runs it was filled
	// HoldsOpen is in what part of the runs it was the last to fill.
	HoldsOpen float64
	// ByDue is in what part of the runs it was filled by its due.
	ByDue float64
	// Curve is the mean part of it that is filled at each tenth of a run.
	Curve [Tenths]float64
}

// Tenths is how many points a curve has.
const Tenths = 10

// Outcome is what a policy comes to.
type Outcome struct {
	Policy                        Policy
	Boards, BoardFeet, Face, Cost Interval
	Yield, Hours, Shifts, Aside   Interval
	Rerip, ReripWorth             Interval // m2 and money
	Turned, Turning               Interval // boards, and money for turning them; no part of Cost
	Rows                          []Row
	Lots                          []LotOutcome // the means add up to those of all boards
	Runs, Unfinished              int          // runs counted, and those of them that did not fill the order
	Costs                         []float64    // of each run, rising
}

// LotOutcome is what is taken of a lot: boards ripped or set aside, their board feet,
// and what they cost.
type LotOutcome struct{ Boards, BoardFeet, Cost Interval }

// Result of a quote.
type Result struct {
	Planner *values.Planner
	Plan    *values.Plan // with the bound, and what is impossible
	// Outcomes by policy, as asked for.
	Outcomes []Outcome
	// Stopped says that not all runs are counted.
	Stopped bool
	// Advised is the policy that took least over the runs that all of them ended, by
	// the objective, and Saves what part less than the first one.
	Advised Policy
	Saves   float64
	// Whole is a plan in whole boards, where every lot is one kind of board and
	// nothing is due; nil: there is none.
	Whole *values.Whole
}
