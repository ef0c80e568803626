package values_test

import (
	"math"
	"testing"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/planning/values"
	"github.com/ripwright/ripwright/solver/wood"
)

// shelf has an order of ten strips, and boards of two strips each at 2 and at 3 a board
// foot, with a limited number of the cheap ones.
func shelf(cheap float64) *values.Problem {
	b := []lumber.Kind{{Board: board(1000, 100), Count: 1}}
	return &values.Problem{Saw: knife(), Items: []order.Item{pieces(40, 10)}, Objective: values.Cost, Lost: values.Everything,
		Lots: []values.Lot{{ID: "cheap", Price: 2_000_000, Kinds: b, Limited: true, Most: cheap}, {ID: "dear", Price: 3_000_000, Kinds: b}}}
}

// Worked by hand: 10 strips take 5 boards. If there are 3 cheap ones, the other 2 are
// dear; a fourth would save the difference in price. Cost and bound agree.
func TestStock(t *testing.T) {
	const near = 5e-6 // boards' costs are whole millionths
	feet := lumber.BoardFeet(&wood.Board{Length: 1000 * mm, Stations: []wood.Station{{Far: 100 * mm}}})
	for cheap, want := range map[float64]float64{1: 14, 3: 12, 4: 11, 5: 10, 9: 10} {
		got := plan(t, shelf(cheap), values.Options{})
		if math.Abs(got.Cost-want*feet) > near || math.Abs(got.Bound-want*feet) > near || math.Abs(got.Boards[0]-min(cheap, 5)) > 1e-9 || got.Short {
			t.Errorf("%v cheap boards: cost %v, bound %v, want %v; boards %v", cheap, got.Cost/feet, got.Bound/feet, want, got.Boards)
		}
	}
	// The same planner, with another limit and with none.
	pl, err := values.New(shelf(3))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		limited     bool
		cheap, want float64
	}{{true, 3, 12}, {false, 0, 10}, {true, 4, 11}, {true, 0, 15}} {
		pl.Limit(0, c.limited, c.cheap)
		got, err := pl.Plan(pl.Demand.Open(), values.Options{Gap: 1e-9})
		if err != nil || math.Abs(got.Cost-c.want*feet) > near {
			t.Errorf("%+v: %v, %v", c, got, err)
		}
	}
	// If there are too few boards in all, the plan says so.
	p := shelf(3)
	p.Lots[1].Limited, p.Lots[1].Most = true, 1
	pl, err = values.New(p)
	if err != nil {
		t.Fatal(err)
	}
	if got, err := pl.Plan(pl.Demand.Open(), values.Options{Gap: 1e-9}); err != nil || !got.Short || got.Proven {
		t.Errorf("%+v, %v", got, err)
	}
	// Dues and limits cannot be combined.
	p.Items[0].Due = 3
	if l := p.Faults(); len(l) != 1 || l[0].Path != "order.items[0].due_boards" {
		t.Error(l)
	}
}

// More boards of a lot never cost more, and a plan with a limit costs no less than one
// without.
func TestStockIsMonotone(t *testing.T) {
	p := shelf(0)
	p.Items = []order.Item{pieces(40, 12), pieces(30, 20), pieces(70, 6)}
	for i, id := range []string{"a", "b", "c"} {
		p.Items[i].ID = id
	}
	p.Lots[0].Kinds = []lumber.Kind{{Board: board(1000, 120), Count: 2}, {Board: board(1200, 150), Count: 1}}
	p.Lots[1].Kinds = []lumber.Kind{{Board: board(1100, 200), Count: 1}, {Board: board(900, 145), Count: 3}}
	last := math.Inf(1)
	for cheap := 1; cheap < 14; cheap++ {
		p.Lots[0].Most = float64(cheap)
		got := plan(t, p, values.Options{})
		if got.Cost > last*(1+1e-9) || got.Boards[0] > float64(cheap)+1e-6 {
			t.Errorf("%d boards cost %v, fewer %v; %v taken", cheap, got.Cost, last, got.Boards)
		}
		last = got.Cost
	}
	p.Lots[0].Limited = false
	if free := plan(t, p, values.Options{}); free.Cost > last*(1+1e-9) {
		t.Errorf("%v without a limit, %v with", free.Cost, last)
	}
}
