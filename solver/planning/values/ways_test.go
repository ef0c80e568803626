package values

import (
	"testing"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// If lengths combine in too many ways at the planned values, the plan is refused for that
// item. Its boards are not taken to give nothing, which would prove too much.
func TestTooManyWays(t *testing.T) {
	const mm = unit.Millimetre
	strip := func(id string) order.Item {
		it := order.Item{ID: id, Min: 60 * mm, Max: 60 * mm, CutKerf: 3 * mm}
		for k := range unit.Length(12) {
			it.Cuts = append(it.Cuts, order.Cut{Length: 201_003_000 + 37*mm*k + 10_000*(k*k*k%97), Limited: true, Required: 1000})
		}
		return it
	}
	p := &Problem{
		Saw: saw.Saw{Kerf: 3 * mm, Step: mm, Gap: 20 * mm, LeastStrip: 20 * mm, Fence: saw.Travel{Max: 100 * mm},
			Blades: []saw.Blade{{At: 100 * mm}, {At: 163 * mm}}},
		Items: []order.Item{strip("a"), strip("b")},
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
	if l := pl.ways.Load(); l == nil || len(*l) != 1 || (*l)[0].Path != "order.items[1].crosscut.lengths" {
		t.Errorf("%v", l)
	}
	if plan, err := pl.Plan(pl.Demand.Open(), Options{Rounds: 1}); err == nil {
		t.Errorf("planned: %v", plan)
	}
}
