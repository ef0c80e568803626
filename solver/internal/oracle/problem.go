// Package oracle solves small rip problems by trying everything: every skew, every
// fence stop, every stop of every moving blade, every assignment of items to
// pockets. It is written from the model and shares no code with the search, which it
// exists to check: it imports the packages that hold a problem's data, and of their
// methods it calls none. Nothing but tests imports it.
package oracle

import (
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/run"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/wood"
)

// Problem is a board on a saw for an order, and what the saw's time costs.
type Problem struct {
	Board wood.Board
	Saw   saw.Saw
	Items []order.Item
	// Price of the saw's time in billionths of money a second; 0: it costs nothing,
	// and Pace does not matter.
	Price int64
	Pace  run.Pace
	// By is what the operator wants; nil: nothing.
	By *Instructed
}

// Instructed is what an operator wants of a board. A plan that does not keep all of it
// is none.
type Instructed struct {
	Forced    map[int]int // by item: how many strips at least
	Forbidden map[int]bool
	Locked    map[int]int64 // by axis, the fence -1 and blades from 0: where it stands
}

// forced is how many strips of an item there have to be at least.
func (p *Problem) forced(item int) int {
	if p.By == nil {
		return 0
	}
	return p.By.Forced[item]
}

// held reports whether an axis is locked elsewhere.
func (p *Problem) held(axis int, at int64) bool {
	if p.By == nil {
		return false
	}
	to, is := p.By.Locked[axis]
	return is && to != at
}

// cost is what a board's cycle costs whose longest move is move.
func (p *Problem) cost(move int64) money {
	if p.Price == 0 || p.Pace.Feed == 0 {
		return money{}
	}
	const second = 1_000_000_000
	cycle := upDiv(int64(p.Board.Length), 60*second, p.Pace.Feed)
	handling, moving := int64(p.Pace.Handling), int64(0)
	if p.Pace.Positioning > 0 {
		moving = upDiv(move, second, p.Pace.Positioning)
	}
	if p.Pace.Overlaps {
		cycle += max(handling, moving)
	} else {
		cycle += handling + moving
	}
	return product(p.Price, cycle, 1000)
}
