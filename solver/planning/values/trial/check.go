package main

import (
	"fmt"
	"math"

	"github.com/ripwright/ripwright/solver/planning/values"
)

// recount adds up what the patterns of a plan make, from the widths of their strips
// alone.
func (in *instance) recount(w *values.Whole) error {
	made, boards := make([]int, len(in.widths)), 0
	for _, p := range w.Patterns {
		boards += int(p.Times)
		used := 0
		for _, pk := range p.Plan.Pockets {
			if pk.Item >= 0 {
				item := p.Items[pk.Item]
				made[item] += int(p.Times)
				used += in.widths[item]
			}
		}
		if used > in.stock {
			return fmt.Errorf("a pattern of %d on a board of %d", used, in.stock)
		}
	}
	if boards != int(w.Boards) {
		return fmt.Errorf("patterns of %d boards, not %d", boards, w.Boards)
	}
	for i, n := range made {
		if n < in.pieces[i] {
			return fmt.Errorf("%d of width %d, want %d", n, in.widths[i], in.pieces[i])
		}
	}
	return nil
}

// fine is the whole number that stands for the greatest value.
const fine = 1_000_000_000

// least is a lower bound on the number of boards, from the values: an independent bounded
// knapsack over whole numbers gives the most that a board can be worth, and all pieces
// together are worth no more than all boards (Gilmore and Gomory 1961).
func (in *instance) least(value []float64) int {
	top := 0.0
	for _, v := range value {
		top = math.Max(top, v)
	}
	best := make([]int64, in.stock+1)
	total := int64(0)
	for i, w := range in.widths {
		v := int64(0)
		if top > 0 {
			v = int64(math.Max(value[i], 0) / top * fine)
		}
		total += v * int64(in.pieces[i])
		for range min(in.pieces[i], in.stock/w) {
			for room := in.stock; room >= w; room-- {
				best[room] = max(best[room], best[room-w]+v)
			}
		}
	}
	area := 0
	for i, w := range in.widths {
		area += w * in.pieces[i]
	}
	least := (area + in.stock - 1) / in.stock
	if most := best[in.stock]; most > 0 {
		least = max(least, int((total+most-1)/most))
	}
	return least
}
