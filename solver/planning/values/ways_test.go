package values

import (
	"errors"
	"testing"

	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// cutItem is an item of lengths that combine in too many ways on long boards.
func cutItem(id string, required int64) order.Item {
	const mm = unit.Millimetre
	it := order.Item{ID: id, Min: 60 * mm, Max: 60 * mm, CutKerf: 3 * mm}
	for k := range unit.Length(12) {
		it.Cuts = append(it.Cuts, order.Cut{Length: 201_003_000 + 37*mm*k + 10_000*(k*k*k%97), Limited: true, Required: required})
	}
	return it
}

// If lengths combine in too many ways at the planned values, the plan is refused for that
// item. Its boards are not taken to give nothing, which would prove too much.
func TestTooManyWays(t *testing.T) {
	const mm = unit.Millimetre
	p := &Problem{
		Saw: saw.Saw{Kerf: 3 * mm, Step: mm, Gap: 20 * mm, LeastStrip: 20 * mm, Fence: saw.Travel{Max: 100 * mm},
			Blades: []saw.Blade{{At: 100 * mm}, {At: 163 * mm}}},
		Items: []order.Item{cutItem("a", 1000), cutItem("b", 1000)},
		Lots:  []Lot{{ID: "l", Kinds: []lumber.Kind{{Board: wood.Board{Length: 19000 * mm, Stations: []wood.Station{{Far: 200 * mm}}}, Count: 1}}}},
	}
	pl, err := New(p)
	if err != nil {
		t.Fatal(err)
	}
	v := make([]int64, len(pl.Demand.Rows))
	for k := range v {
		if r := &pl.Demand.Rows[k]; r.Item == 1 { // the first is left out
			v[k] = int64(p.Items[1].Cuts[r.Cut].Length)
		}
	}
	if _, whole := pl.price(v, pl.Demand.Open(), 0, true, &Options{}); whole {
		t.Fatal("it is priced")
	}
	var l fault.List
	if err := pl.failed.Load(); err == nil || !errors.As(*err, &l) || len(l) != 1 || l[0].Path != "order.items[1].crosscut.lengths" {
		t.Errorf("%v", l)
	}
	if plan, err := pl.Plan(pl.Demand.Open(), Options{Rounds: 1}); err == nil {
		t.Errorf("planned: %v", plan)
	}
}

// A plan in whole boards is not made of short boards because the lengths combine in too
// many ways on the long ones: it is refused. Boards that the saw does not take are passed
// over.
func TestTooManyWaysWhole(t *testing.T) {
	const mm = unit.Millimetre
	kinds := func(length unit.Length) []lumber.Kind {
		return []lumber.Kind{{Board: wood.Board{Length: length, Stations: []wood.Station{{Far: 200 * mm}}}, Count: 1}}
	}
	p := &Problem{
		Saw: saw.Saw{Kerf: 3 * mm, Step: mm, Gap: 20 * mm, LeastStrip: 20 * mm, Fence: saw.Travel{Max: 100 * mm},
			Blades: []saw.Blade{{At: 100 * mm}, {At: 163 * mm}}},
		Items: []order.Item{cutItem("a", 3)},
		Lots:  []Lot{{ID: "short", Kinds: kinds(1000 * mm)}, {ID: "long", Kinds: kinds(19_000 * mm)}},
		Lost:  Everything,
	}
	for _, most := range []unit.Length{0, 2000 * mm} {
		p.Saw.Limits.MaxLength = most
		pl, err := New(p)
		if err != nil {
			t.Fatal(err)
		}
		w, filled, err := pl.Greedy(pl.Demand.Open(), Options{})
		if most > 0 {
			if err != nil || !filled {
				t.Errorf("%v, filled %v, without the long boards", err, filled)
			}
			continue
		}
		var l fault.List
		if !errors.As(err, &l) || len(l) != 1 || l[0].Path != "order.items[0].crosscut.lengths" {
			t.Errorf("%+v %v", w, err)
		}
	}
}
