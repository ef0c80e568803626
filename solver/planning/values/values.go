// Package values finds the value per item that fills an order with the least lumber, and
// proves a lower bound on that lumber.
//
// A *policy* is the way to cut a lot's boards by given values: the best plan of each
// board. Its column says what an average board of the lot then gives of every row of the
// demand, and what it costs. The least cost of filling the order with policies is a
// linear programme; its dual values are values to cut by, and the solver of one board
// prices them: a board's best worth shows whether a new policy is better than those
// known. That is column generation. Any values that are priced, scaled until no board is
// worth more than it costs, bound the cost of every way to fill the order from below,
// exactly.
//
// The programme uses fractions of boards, so the bound holds for whole boards as well. A
// board makes no more of an item than is open, except for its last strip: a board that
// exceeds this fills the order just as well without the surplus strips.
package values

import (
	"fmt"
	"math/big"
	"slices"
	"sync/atomic"

	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/demand"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// Objective is what planning minimizes.
type Objective int

// The objectives.
const (
	Boards Objective = iota // the number of boards
	Face                    // the lumber: face area in m2
	Cost                    // money at the lots' prices per board foot
)

// Lot is lumber as the planner sees it: boards that represent a whole lot.
type Lot struct {
	ID    string
	Price int64 // millionths of money per board foot; Cost only
	Kinds []lumber.Kind
	// Limited says that the lot has no more than Most boards.
	Limited bool
	Most    float64
	// Saw is the saw for its boards. Nil: Problem.Saw.
	Saw *saw.Saw
	// Only says for each item whether the lot's boards may give it. Nil: they may give
	// all.
	Only []bool
}

// Problem is an order, a saw and the lumber expected.
type Problem struct {
	Saw       saw.Saw
	Items     []order.Item
	Lots      []Lot
	Objective Objective
	// Lost is the fraction of a board's cost, in millionths, that is lost when it is set
	// aside for another order. Everything: no board is set aside.
	Lost int64
}

// Everything is the Problem.Lost at which setting a board aside saves nothing.
const Everything = 1_000_000

// Options of a search.
type Options struct {
	// Stop is polled before every board that is priced; once it reports true, the search
	// ends with the best found so far. Nil: never.
	Stop func() bool
	// Each runs f(0) to f(n-1), in any order or concurrently, and returns when all have
	// ended. Nil: one after the other.
	Each func(n int, f func(i int))
	// Gap is how far the bound may stay below the cost, as a fraction of the cost.
	Gap float64
	// Rounds limits how often all boards are priced, after the first search for a policy of
	// each row. 0: DefaultRounds.
	Rounds int
	// Done is the number of boards, as dues count them, that have already come.
	Done int64
	// Work limits the search for each board, like rip.Options.Work. The bound holds
	// regardless. 0: no limit.
	Work int64
	// Found says that plans found soon are good enough, proven or not: planning ends when
	// they seem to be the best. It is far faster if boards are hard to prove.
	Found bool
	// Memory limits the search for each board, like rip.Options.Memory; as many searches
	// run at once as Each allows.
	Memory int64
	// Boards counts the boards solved. Nil: they are not counted.
	Boards *atomic.Int64
}

// DefaultRounds is enough for orders of some dozens of items.
const DefaultRounds = 400

// within is o with at most so much work for a board.
func (o *Options) within(work int64) *Options {
	out := *o
	if out.Work == 0 || out.Work > work {
		out.Work = work
	}
	return &out
}

func (o *Options) stopped() bool { return o.Stop != nil && o.Stop() }

// Solved counts a board.
func (o *Options) Solved() {
	if o.Boards != nil {
		o.Boards.Add(1)
	}
}

func (o *Options) each(n int, f func(int)) {
	if o.Each != nil {
		o.Each(n, f)
		return
	}
	for i := range n {
		f(i)
	}
}

// Planner plans one order repeatedly while it is being filled, and keeps the policies
// that it has found.
type Planner struct {
	p      *Problem
	Demand *demand.Order
	cost   [][]int64 // of each kind of each lot, in the objective's unit
	byFace []int     // lots by what a square metre costs
	// cheapest is what face costs at least (cheapestFace), and shortest the least length of
	// a strip (shortestStrip).
	cheapest *big.Rat
	shortest unit.Length
	pool     []*policy
	solo     [][]bool              // for each lot, rows that have a policy of it alone, or were searched for one in vain
	never    []bool                // rows that no board can give
	work     atomic.Int64          // steps of all searches so far
	failed   atomic.Pointer[error] // of the first search that failed while pricing, other than by refusing its board
	best     []int                 // for each row, the policy in the pool that gives it most cheaply, or -1
	// beyond lets a board make more than is wanted in all, as some published programmes
	// do; tests compare with those.
	beyond bool
}

// Faults lists what is wrong with a problem, by field. Faults of single boards are found
// when they are priced: a board that the saw does not take gives nothing.
func (p *Problem) Faults() fault.List {
	l := demand.Faults(&p.Saw, p.Items)
	_, wants := demand.New(p.Items)
	for _, f := range wants {
		if !slices.ContainsFunc(l, func(had fault.Fault) bool { return had.Path == f.Path }) {
			l = append(l, f)
		}
	}
	if len(p.Lots) == 0 {
		l.Because(fault.Missing, "lumber.lots", "is empty; give the lumber")
	}
	if slices.ContainsFunc(p.Lots, func(l Lot) bool { return l.Limited }) {
		for i := range p.Items {
			if p.Items[i].Due > 0 {
				l.Add(fmt.Sprintf("order.items[%d].due_boards", i), "is given together with lots of limited stock, which are planned without dues")
			}
		}
	}
	if p.Lost < 0 || p.Lost > Everything {
		l.Because(fault.OutOfRange, "set_aside_loss", "must be 0 to 1")
	}
	for g := range p.Lots {
		if p.Objective == Cost && p.Lots[g].Price == 0 {
			l.Because(fault.Missing, fmt.Sprintf("lumber.lots[%d].price_per_mbf", g), "is missing or 0; the least cost needs a price for every lot")
		}
	}
	return l
}

// saw is the saw for a lot's boards.
func (pl *Planner) saw(lot int) *saw.Saw {
	if s := pl.p.Lots[lot].Saw; s != nil {
		return s
	}
	return &pl.p.Saw
}

// saws are the saws that have boards.
func (pl *Planner) saws() (all []*saw.Saw) {
	for g := range pl.p.Lots {
		if s := pl.saw(g); !slices.Contains(all, s) {
			all = append(all, s)
		}
	}
	return all
}

// off is how far a strip of an item may be from a fixed width on any of the saws.
func (pl *Planner) off(it *order.Item) (most unit.Length) {
	for _, s := range pl.saws() {
		most = max(most, it.Off(s.Step))
	}
	return most
}

// New makes a planner. The error is a fault.List.
func New(p *Problem) (*Planner, error) {
	l := p.Faults()
	if len(l) == 0 {
		l = p.BoardFaults(&p.Lots[0].Kinds[0].Board)
	}
	if len(l) > 0 {
		return nil, l
	}
	d, _ := demand.New(p.Items)
	pl := &Planner{p: p, Demand: d, never: make([]bool, len(d.Rows)), best: make([]int, len(d.Rows))}
	for k := range pl.best {
		pl.best[k] = -1
	}
	for g := range p.Lots {
		pl.solo = append(pl.solo, make([]bool, len(d.Rows)))
		if p.again(g) {
			pl.cost = append(pl.cost, pl.cost[g-1])
			continue
		}
		pl.cost = append(pl.cost, costs(p, g))
	}
	pl.byFace, pl.cheapest, pl.shortest = pl.lotsByFace(), pl.cheapestFace(), pl.shortestStrip()
	return pl, nil
}

// BoardFaults lists faults that depend on a board: a step too fine for boards this wide.
func (p *Problem) BoardFaults(b *wood.Board) fault.List {
	q := rip.Problem{Saw: p.Saw, Items: p.Items, Board: *b}
	q.Saw.Limits = saw.Limits{}
	return q.Faults()
}
