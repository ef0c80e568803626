// Package quote predicts what an order will take: boards, lumber, money and saw hours,
// each as an expected value and a prediction interval.
//
// The order is run to its end repeatedly on newly drawn boards, cut as a line would cut
// them: the best plan for each board, items off once they are filled, values replanned as
// the order fills. The runs are exchangeable, so their ranks give an interval for one
// more run without any assumption on their distribution.
package quote

import (
	"github.com/ripwright/ripwright/solver/internal/published"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/planning/values"
	"github.com/ripwright/ripwright/solver/run"
)

// Policy is how boards are valued.
type Policy int

// The policies.
const (
	Planned Policy = iota // planned values, replanned as the order fills
	Own                   // the order's own values
	Yield                 // strip area alone
)

// Pace is the speed of the saw, by which a live line's cycles are estimated; an operation
// with 0 takes no time.
type Pace struct {
	run.Pace
	ShiftHours float64 // hours in a shift
}

// Problem is an order with the lumber that it will be cut from.
type Problem struct {
	Values values.Problem // values are planned for its lots' samples
	Lots   []lumber.Lot   // boards are drawn from these
	Pace   Pace
	// Scrap is for every row of the demand the extra fraction to make. Nil: none.
	Scrap []float64
	// Stock says that boards are bought: the plan's lots are used in its proportions, as
	// evenly as whole boards allow, and a lot that Values limits only up to its limit.
	// Otherwise each board's lot is drawn.
	Stock bool
}

// Options of a quote.
type Options struct {
	// Policies to run, each on the same boards. The first is the quote.
	Policies []Policy
	Runs     int // of each policy
	// Against runs the first few runs for yield alone too, if that is not among Policies,
	// to see whether planned values take less.
	Against bool
	Level   float64 // probability that one more run falls into the interval
	Seed    uint64
	// MostBoards ends a run that does not fill the order. A run without progress ends
	// sooner.
	MostBoards int
	// Replan is the number of boards after which values are replanned; 0: never.
	Replan int
	// Values are the options of planning. Its Stop ends the quote; its Each runs the runs
	// concurrently.
	Values values.Options
	// Ended is called with the plan and the total demand once the runs have ended. Nil: it
	// is not called.
	Ended func(pl *values.Planner, plan *values.Plan, open []int64)
	// Progress is called after every run with the number of runs done, by the goroutine
	// that ran it.
	Progress func(runs int)
}

// Limits of a quote.
const (
	MostRuns   = published.MostQuoteOrderRequestSimulations
	MostBoards = published.MostQuoteOrderRequestMaxBoards
)

// Interval is the expected value of a run, and the limits between which one more run lies
// with probability Options.Level.
type Interval struct{ Expected, Low, High float64 }

// Row is the outcome of one row of the demand.
type Row struct {
	Made     Interval // in metres, square metres or pieces
	FilledAt Interval // the board that filled it; meaningless unless Filled is Runs
	Filled   int      // number of runs that filled it
	// HoldsOpen is the fraction of the runs in which it was the last to be filled.
	HoldsOpen float64
	// ByDue is the fraction of the runs in which it was filled by its due.
	ByDue float64
	// Curve is the mean fraction of it that is filled at each tenth of a run.
	Curve [Tenths]float64
}

// Tenths is the number of points of a curve.
const Tenths = 10

// Outcome is the result of a policy.
type Outcome struct {
	Policy                        Policy
	Boards, BoardFeet, Face, Cost Interval
	Yield, Hours, Shifts, Aside   Interval
	Rerip, ReripWorth             Interval // m2 and money
	Turned, Turning               Interval // boards, and money for turning them; not part of Cost
	Rows                          []Row
	Lots                          []LotOutcome // the means add up to those of all boards
	Runs, Unfinished              int          // runs counted, and those of them that did not fill the order
	Costs                         []float64    // of each run, ascending
}

// LotOutcome is what is used of a lot: boards ripped or set aside, their board feet, and
// their cost.
type LotOutcome struct{ Boards, BoardFeet, Cost Interval }

// Result of a quote.
type Result struct {
	Planner *values.Planner
	Plan    *values.Plan // with the bound and the impossible rows
	// Outcomes by policy, as asked for.
	Outcomes []Outcome
	// Stopped says that not all runs are counted.
	Stopped bool
	// Advised is the policy that took least, by the objective, over the runs that all
	// policies finished; Saves is the fraction by which it is below the first.
	Advised Policy
	Saves   float64
	// Whole is a plan in whole boards, if every lot is one kind of board, none is limited
	// and nothing is due; nil: there is none.
	Whole *values.Whole
}
