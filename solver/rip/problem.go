package rip

import (
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/internal/search/budget"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// Problem is one board on one saw for one order.
type Problem struct {
	Board wood.Board
	Saw   saw.Saw
	Items []order.Item
}

// Faults lists all that is wrong with the problem. Paths start with board, saw or
// order.items, as in the service's requests.
func (p *Problem) Faults() fault.List {
	var l fault.List
	l.Within("board", p.Board.Faults())
	l.Within("saw", p.Saw.Faults())
	l.Within("order", order.Faults(p.Items, &p.Saw))
	if len(l) == 0 {
		p.limitFaults(&l)
		p.sizeFaults(&l)
	}
	return l
}

// limitFaults refuses boards outside the saw's limits: too short or too narrow boards are
// those that a saw rejects.
func (p *Problem) limitFaults(l *fault.List) {
	check := func(path, what string, v, lo, hi unit.Length) {
		if lo > 0 && v < lo {
			l.Because(fault.OutsideSawLimits, path, "%s is %g mm; the saw takes %g mm and up", what, v.MM(), lo.MM())
		}
		if hi > 0 && v > hi {
			l.Because(fault.OutsideSawLimits, path, "%s is %g mm; the saw takes at most %g mm", what, v.MM(), hi.MM())
		}
	}
	m := p.Saw.Limits
	check("board.length_mm", "the board's length", p.Board.Length, m.MinLength, m.MaxLength)
	check("board.stations", "the board's greatest width", p.Board.GreatestWidth(), m.MinWidth, m.MaxWidth)
	if p.Board.Thickness > 0 {
		check("board.thickness_mm", "the board's thickness", p.Board.Thickness, m.MinThickness, m.MaxThickness)
	}
}

// maxStops limits the stops of all moving blades within the wood. The search keeps a
// score for each.
const maxStops = 1_000_000

// sizeFaults refuses problems whose tables would exceed a service's memory.
func (p *Problem) sizeFaults(l *fault.List) {
	lo, _, _, hi := p.Board.Span()
	moving := unit.Length(0)
	for _, b := range p.Saw.Blades {
		if b.Moving {
			moving++
		}
	}
	if stops := (hi - lo) / p.Saw.Step * moving; stops > maxStops {
		l.Add("saw.step_mm", "is %g: %d moving blades over %g mm of board have %d stops; at most %d are taken, so use a coarser step",
			p.Saw.Step.MM(), moving, (hi - lo).MM(), stops, maxStops)
	}
}

// Limit names what ended a search before its proof.
type Limit = budget.Limit

// The limits.
const (
	NoLimit     = budget.None   // the search ended by itself
	TimeLimit   = budget.Time   // Options.Stop said so
	WorkLimit   = budget.Work   // Options.Work was used up
	MemoryLimit = budget.Memory // more memory was needed than Options.Memory
)

// DefaultMemory is the default of Options.Memory, in bytes.
const DefaultMemory = 64 << 20

// Options of a search.
type Options struct {
	// RunnersUp is how many further plans to give, distinct by the multiset of
	// their items, each the best of its kind.
	RunnersUp int
	// Stop is polled often; once it reports true the search ends with the best
	// plan so far. Nil: never.
	Stop func() bool
	// Work limits the search to a number of steps, the same on every machine,
	// so that a stopped answer can be reproduced. 0: no limit.
	Work int64
	// Memory limits what the search holds at the same time, in bytes. It is counted
	// before it is allocated, so like Work it ends a search at the same place on every
	// machine. 0: DefaultMemory.
	Memory int64
	// Floor lets the search pass over plans that are worth less, which is much faster if
	// few plans reach it. If none does, Best is some plan, not Proven, and Bound is below
	// Floor. 0 or below: none.
	Floor unit.Worth
	// Method says which search to use. All of them give the same plans, including ties.
	Method Method
	// Watch is called for each part of the search as it ends. It may be nil.
	Watch func(Part)

	tests forTests
}

// forTests are options that only tests of this package set.
type forTests struct {
	states  int            // of caps that bounds keep at most; 0: mostStates
	release func(*scratch) // is shown each scratch after its search; may be nil
}

// Method is how a plan is searched for. The faster one depends on the saw; there is a
// reason to choose only in order to compare them.
type Method int8

const (
	// Combined searches by intervals of the fence as long as that pays on the saw, then
	// by tables.
	Combined Method = iota
	// ByIntervals searches by intervals of the fence alone.
	ByIntervals
	// ByTables searches by tables over heights from the start, if they serve the problem,
	// and otherwise by intervals.
	ByTables
)

// Budget gives the unused budget of the options' limits.
func (o *Options) Budget() *budget.Budget {
	memory := o.Memory
	if memory <= 0 {
		memory = DefaultMemory
	}
	return budget.New(budget.Limits{Work: o.Work, Memory: memory, Stop: o.Stop})
}

// Result of a search.
type Result struct {
	// Best is never nil: a plan of worth 0 always exists.
	Best *Plan
	// RunnersUp are sorted best first. When the search was stopped they are the
	// best seen.
	RunnersUp []*Plan
	// Bound is at least the worth of every valid plan.
	Bound unit.Worth
	// Proven says that Best is the optimum and first among its ties.
	Proven bool
	// EndedBy is the limit that ended the search, if any.
	EndedBy Limit
	// Work is how many steps the search took, Memory the most bytes that it held at
	// the same time.
	Work, Memory int64
}
