// Package arbor finds positions of the fixed blades for the orders and lumber to come.
//
// A setting is worth what the best plans of the expected boards are worth on it. All
// settings are tried on the same boards, so that differences come from the settings and
// not from the sample. If there are few enough, every setting that the spacers allow is
// tried. Otherwise settings are drawn at random, most with pockets as wide as items, or
// as several items if moving blades stand between; they are screened on a few boards, and
// the best are improved by moving one blade, or all blades from one on outwards; the
// results are tried on all boards and improved there.
package arbor

import (
	"fmt"
	"math/big"
	"sync/atomic"

	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/internal/published"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/run"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
)

// Order is an order with the weight of its worth.
type Order struct {
	Items  []order.Item
	Weight int64
}

// Spacers define where fixed blades can stand: at Origin and whole Increments from it,
// between Min and Max.
type Spacers struct {
	Increment, Origin, Min, Max unit.Length
}

// Problem is today's saw, the orders and the expected boards.
type Problem struct {
	Saw     saw.Saw
	Orders  []Order
	Boards  []lumber.Kind
	Spacers Spacers
	Pace    run.Pace
}

// Options of a search.
type Options struct {
	Suggestions int    // how many to give
	Settings    int    // the most to try, or as much work, for each of the searches
	Seed        uint64 // of the settings drawn at random
	Level       float64
	Stop        func() bool
	Each        func(n int, f func(i int))
	Memory      int64         // limits the search for each board, like rip.Options.Memory
	Boards      *atomic.Int64 // counts the boards solved; nil: they are not counted
}

// Limits of a problem.
const (
	MaxOrders       = published.MostEntriesOfPlanArborRequestOrders
	MaxSettings     = published.MostPlanArborRequestMaxSettings
	MaxSuggestions  = published.MostPlanArborRequestMaxSuggestions
	DefaultSettings = 500
	// boardWork limits the search for one board.
	boardWork = 300_000
)

// Scored is a setting and its score.
type Scored struct {
	Fixed []unit.Length
	// Worth, Strip, Face and cycle time of a mean board, over the weighted orders.
	Worth       float64
	Strip, Face float64 // m2
	Cycle       float64 // s
	// Gain over today's setting, with the confidence interval of its mean.
	Gain, GainLow, GainHigh float64
	// Moved is the number of blades to move from today's setting.
	Moved int
	// Boards is the number of boards behind the score; 0: the setting was not tried.
	Boards int

	way   unit.Length // total distance that the blades move
	exact *big.Int    // worth of all boards, all orders, in unit.Worth
	each  []float64
}

// Result is the settings found.
type Result struct {
	Today Scored
	// Best are settings worth more than today's, best first, no two of them alike. If the
	// search was stopped before any was tried on all boards, the best on some of them.
	Best []Scored
	// FixedOnly is the best setting found with every blade fixed; MoreMoving is the first
	// of Best with one more moving blade. Nil: there is no room for it.
	FixedOnly, MoreMoving *Scored
	// Tried counts the settings tried on all boards, Screened those tried on some; All
	// says that there are no settings besides those tried.
	Tried, Screened int

	All     bool
	Stopped bool
}

// Faults lists what is wrong with a problem.
func (p *Problem) Faults() fault.List {
	var l fault.List
	l.Within("saw", p.Saw.Faults())
	s := p.Spacers
	if s.Increment < saw.MinStep || s.Increment > saw.MaxPosition {
		l.Because(fault.OutOfRange, "spacers.increment_mm", "is %g; must be %g to %g", s.Increment.MM(), saw.MinStep.MM(), saw.MaxPosition.MM())
	}
	position := func(field string, v unit.Length) {
		if v < -saw.MaxPosition || v > saw.MaxPosition {
			l.Because(fault.OutOfRange, "spacers."+field, "is %g; must be %g to %g", v.MM(), -saw.MaxPosition.MM(), saw.MaxPosition.MM())
		}
	}
	position("origin_mm", s.Origin)
	position("min_mm", s.Min)
	position("max_mm", s.Max)
	if s.Max < s.Min {
		l.Add("spacers.max_mm", "is %g, below min_mm %g", s.Max.MM(), s.Min.MM())
	}
	if fixed(&p.Saw) == nil {
		l.Add("saw.blades", "have no fixed blade; there is nothing to plan")
	}
	switch n := len(p.Orders); {
	case n == 0 || n > MaxOrders:
		l.Because(fault.WrongCount, "orders", "has %d entries; 1 to %d are taken", n, MaxOrders)
	default:
		for i := range p.Orders {
			l = append(l, p.orderFaults(i)...)
		}
	}
	if len(l) == 0 && s.positions() < len(fixed(&p.Saw)) {
		l.Add("spacers.max_mm", "is %g; there are fewer positions than fixed blades", s.Max.MM())
	}
	return l
}

func (p *Problem) orderFaults(i int) (l fault.List) {
	path := fmt.Sprintf("orders[%d]", i)
	items := p.Orders[i].Items
	l.Within(path+".order", order.Faults(items, &p.Saw))
	worth := false
	for k := range items {
		worth = worth || items[k].Value > 0
		for c := range items[k].Cuts {
			worth = worth || items[k].Cuts[c].Value > 0
		}
	}
	if !worth && len(l) == 0 {
		l.Add(path+".order.items", "have no value, so no setting is better than another; give them values, or plan values first")
	}
	return l
}

// fixed gives the positions of the fixed blades.
func fixed(s *saw.Saw) (at []unit.Length) {
	for _, b := range s.Blades {
		if !b.Moving {
			at = append(at, b.At)
		}
	}
	return at
}
