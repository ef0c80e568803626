// Package oracle solves small rip problems by trying everything: every skew, every fence
// stop, every stop of every moving blade, every assignment of items to pockets. It is
// written from the model and shares no code with the search, which it exists to check: it
// imports the packages that hold a problem's data but calls none of their methods. Only
// tests import it.
package oracle

import (
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/run"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/wood"
)

// Problem is a board on a saw for an order, and the price of the saw's time.
type Problem struct {
	Board wood.Board
	Saw   saw.Saw
	Items []order.Item
	// Price is that of the saw's time in billionths of money a second; 0: time costs
	// nothing, and Pace does not matter.
	Price int64
	Pace  run.Pace
	// By are the operator's instructions; nil: none.
	By *Instructed
}

// Instructed are an operator's instructions for a board. A plan that does not keep all of
// them is not valid.
type Instructed struct {
	Forced    map[int]int // by item: the least number of strips
	Forbidden map[int]bool
	Locked    map[int]int64 // by axis, the fence -1 and blades from 0: where it stands
}

// forced is the least number of strips of an item.
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

// cost is the price of a board's cycle with the given longest move.
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
