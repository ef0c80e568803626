package values_test

import (
	"math"
	"sync/atomic"
	"testing"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/planning/values"
)

// due gives an item a due.
func due(it order.Item, id string, boards int64) order.Item {
	it.ID, it.Due = id, boards
	return it
}

// hundred poses items on boards 100 wide that give two strips at most.
func hundred(items ...order.Item) *values.Problem {
	return &values.Problem{Saw: knife(), Items: items, Objective: values.Boards, Lost: values.Everything,
		Lots: []values.Lot{{ID: "lot", Kinds: []lumber.Kind{{Board: board(1000, 100), Count: 1}}}}}
}

// Strips of 60 and 40, ten each, by hand: 10 boards of one each. If the strips of 40 are
// due within D boards, 10 - D boards must give two of them, which leaves as many strips
// of 60 that need boards to themselves: 20 - D boards in all. Within 4 boards at most 8
// can be made, so 5 is the earliest.
func TestDues(t *testing.T) {
	for _, c := range []struct{ due, done, boards, least int64 }{
		{0, 0, 10, 0}, {100, 0, 10, 0}, {10, 0, 10, 0}, {9, 0, 11, 0}, {7, 0, 13, 0}, {5, 0, 15, 0},
		{4, 0, 15, 5}, {1, 0, 15, 5},
		{27, 20, 13, 0}, {24, 20, 15, 25}, {20, 20, 15, 25}, {3, 20, 15, 25},
	} {
		p := hundred(due(pieces(60, 10), "wide", 0), due(pieces(40, 10), "slim", c.due))
		got := plan(t, p, values.Options{Done: c.done})
		if math.Abs(got.Cost-float64(c.boards)) > 1e-6 || math.Abs(got.Bound-float64(c.boards)) > 1e-6 || math.Abs(got.Boards[0]-float64(c.boards)) > 1e-6 {
			t.Errorf("due %d after %d: cost %v, bound %v, boards %v; want %d", c.due, c.done, got.Cost, got.Bound, got.Boards, c.boards)
		}
		least := int64(0)
		for _, l := range got.Late {
			least += l.Least * int64(l.Row) // the second row alone
		}
		if least != c.least {
			t.Errorf("due %d after %d: late %v, want %d", c.due, c.done, got.Late, c.least)
		}
		// What is due has extra value: two strips of it are worth more than one of each.
		if c.due == 7 && 2*got.Values[1] < got.Values[0]+got.Values[1]-1e-6 {
			t.Errorf("values %v", got.Values)
		}
	}
}

// Of two dues the earlier comes first: 4 boards for eight strips of 40, then one board
// for each of six strips of 60. Within 9 boards only five of those are made, so 10 is the
// earliest; within 3 boards only six strips of 40.
func TestTwoDues(t *testing.T) {
	for _, c := range []struct{ first, second, boards, firstLeast, secondLeast int64 }{
		{4, 10, 10, 0, 0}, {5, 10, 9, 0, 0}, {4, 9, 10, 0, 10}, {3, 9, 10, 4, 10}, {8, 9, 7, 0, 0}, {3, 3, 7, 7, 7},
	} {
		got := plan(t, hundred(due(pieces(40, 8), "a", c.first), due(pieces(60, 6), "b", c.second)), values.Options{})
		late := map[int]int64{}
		for _, l := range got.Late {
			late[l.Row] = l.Least
		}
		if math.Abs(got.Cost-float64(c.boards)) > 1e-6 || late[0] != c.firstLeast || late[1] != c.secondLeast {
			t.Errorf("due %d and %d: cost %v, late %v; want %d, %d, %d", c.first, c.second, got.Cost, got.Late, c.boards, c.firstLeast, c.secondLeast)
		}
	}
}

// Stopped before the programme, planning fills every row, names the dues that its plan does
// not keep, and no others.
func TestDuesStopped(t *testing.T) {
	const items, boards = 30, 40
	for _, passes := range []int64{8, 12, 20} {
		p := many(items, 1, boards)
		for i := range 20 {
			p.Items[i].Due = 5 // boards, too few for anything
			if i >= 10 {
				p.Items[i].Due = order.MaxDue
			}
		}
		pl, err := values.New(p)
		if err != nil {
			t.Fatal(err)
		}
		var solved atomic.Int64
		got, err := pl.Plan(pl.Demand.Open(), values.Options{Boards: &solved, Stop: func() bool { return solved.Load() >= passes*boards }})
		if err != nil {
			t.Fatal(err)
		}
		if !got.Stopped || got.Proven || got.Cost <= got.Bound {
			t.Errorf("after %d passes: cost %v, bound %v, stopped %v, proven %v", passes, got.Cost, got.Bound, got.Stopped, got.Proven)
		}
		fills(t, pl, got, items)
		if len(got.Late) != 10 {
			t.Errorf("after %d passes late are %v; want the first ten items", passes, got.Late)
		}
		for _, l := range got.Late {
			if l.Row >= 10 || l.Least <= 5 {
				t.Errorf("after %d passes item %d is late, with %d boards", passes, l.Row, l.Least)
			}
		}
	}
}

// A due that is easily kept costs a stopped planning nothing, and one that cannot be kept
// little.
func TestDuesCostLittle(t *testing.T) {
	const items, boards = 30, 100
	cost := func(due int64) float64 {
		p := many(items, 1, boards)
		for i := range items / 2 {
			p.Items[i].Due = due
		}
		pl, err := values.New(p)
		if err != nil {
			t.Fatal(err)
		}
		var solved atomic.Int64
		got, err := pl.Plan(pl.Demand.Open(), values.Options{Boards: &solved, Stop: func() bool { return solved.Load() >= 20*boards }})
		if err != nil {
			t.Fatal(err)
		}
		fills(t, pl, got, items)
		return got.Cost
	}
	without := cost(0)
	for due, most := range map[int64]float64{order.MaxDue: 1.1, 5: 1.5} {
		if got := cost(due); got > most*without+1e-6 {
			t.Errorf("due %d: %v boards, without %v", due, got, without)
		}
	}
}
