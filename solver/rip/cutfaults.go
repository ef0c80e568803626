package rip

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/internal/search/budget"
	"github.com/ripwright/ripwright/solver/internal/search/packing"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// The limits of CutFaults, for all items together.
const (
	mostCutSteps = 100_000
	mostCutBytes = 16 << 20
)

// CutFaults lists the items whose lengths combine in too many ways on the board, as Solve
// would, for a problem without other faults. It takes some steps for each item that may
// have too many, and none for others; items for which no steps are left are left to
// Solve.
func (p *Problem) CutFaults() fault.List {
	var faults fault.List
	b := budget.New(budget.Limits{Work: mostCutSteps, Memory: mostCutBytes})
	r := &ready{p: p, budget: b, length: int64(p.Board.Length.Floor()), refused: map[string][]int16{}}
	for i := range p.Items {
		if it := &p.Items[i]; b.Ended() == NoLimit && len(it.Cuts) > 0 && mayCombine(it, r.length*1000) {
			before, _ := b.Held()
			guarded(func() { r.addWant(i, &faults) })
			now, _ := b.Held()
			b.Free(now - before)
			r.wants, r.packing = r.wants[:0], packing.Scratch{}
		}
	}
	return faults
}

// CutFaultsUpTo is CutFaults for boards of any length up to the longest. It takes at most
// the given steps, and subtracts those that it takes.
func CutFaultsUpTo(s *saw.Saw, items []order.Item, longest unit.Length, steps *int64) fault.List {
	var faults fault.List
	for i := range items {
		it := &items[i]
		p := &Problem{Saw: *s, Items: items, Board: wood.Board{Length: longest}}
		if most := it.GreatestLength; most > 0 {
			p.Board.Length = min(longest, most)
		}
		if *steps <= 0 || len(it.Cuts) == 0 || !mayCombine(it, int64(p.Board.Length)) {
			continue
		}
		b := budget.New(budget.Limits{Work: *steps, Memory: mostCutBytes})
		r := &ready{p: p, budget: b, length: int64(p.Board.Length.Floor()), refused: map[string][]int16{}}
		guarded(func() { r.addWant(i, &faults) })
		*steps -= b.Work()
	}
	return faults
}

// mayCombine reports whether lengths could combine in too many ways, by how many fit and
// by the step of which all are multiples.
func mayCombine(it *order.Item, length int64) bool {
	ways, step := int64(1), int64(0)
	for i := range it.Cuts {
		c := &it.Cuts[i]
		fit := max((length-2*int64(it.EndTrim)+int64(it.CutKerf))/(int64(c.Length)+int64(it.CutKerf)), 0)
		if open, is := c.Open(); is {
			if open == 0 {
				continue
			}
		}
		ways = min(ways*(fit+1), packing.Most+1)
		// Each piece has one kerf; a bound leaves them out.
		step = divisor(step, divisor(int64(c.Length), int64(it.CutKerf)))
	}
	return ways > packing.Most && length/step >= packing.Most
}

// divisor gives the greatest common divisor of two numbers, one of which is above 0.
func divisor(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// tooManyWays is the fault of an item.
func tooManyWays(faults *fault.List, item int) {
	faults.Add(fmt.Sprintf("order.items[%d].crosscut.lengths", item),
		"combine in more than %d ways on this board; give fewer, or multiples of one step", packing.Most)
}
