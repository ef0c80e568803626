package values_test

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/planning/values"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// The fewest boards for an order, and the values of the items for cutting them: each
// board is cut for the greatest value. By hand: twenty boards give an apron and a slat
// each, and five more give the remaining ten slats.
func ExamplePlanner_Plan() {
	const mm = unit.Millimetre
	board := func(width unit.Length) wood.Board {
		return wood.Board{Length: 2000 * mm, Stations: []wood.Station{{Far: width}}}
	}
	p := &values.Problem{
		Saw: saw.Saw{Kerf: 4 * mm, Step: mm, Gap: 20 * mm, LeastStrip: 20 * mm, Fence: saw.Travel{Max: 100 * mm, Current: 100 * mm},
			Blades: []saw.Blade{{At: 100 * mm}, {Moving: true, Travel: saw.Travel{Min: 120 * mm, Max: 300 * mm, Current: 150 * mm}},
				{Moving: true, Travel: saw.Travel{Min: 140 * mm, Max: 400 * mm, Current: 250 * mm}}}},
		Items: []order.Item{
			{ID: "slat", Min: 60 * mm, Max: 60 * mm, Measure: order.ByLength, Required: 60_000_000, Value: 1},
			{ID: "apron", Min: 90 * mm, Max: 90 * mm, Measure: order.ByLength, Required: 40_000_000, Value: 1},
		},
		Lots:      []values.Lot{{ID: "stock", Kinds: []lumber.Kind{{Board: board(165 * mm), Count: 1}}}},
		Objective: values.Boards, Lost: values.Everything,
	}
	planner, err := values.New(p)
	if err != nil {
		fmt.Println(err)
		return
	}
	plan, err := planner.Plan(planner.Demand.Open(), values.Options{Gap: 1e-6})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f boards, %.1f at least, proven: %v\n", plan.Cost, plan.Bound, plan.Proven)
	for k, r := range planner.Demand.Rows {
		fmt.Printf("%s: %.4f boards a metre\n", p.Items[r.Item].ID, plan.Values[k])
	}
	// Output:
	// 25.0 boards, 25.0 at least, proven: true
	// slat: 0.2500 boards a metre
	// apron: 0.2500 boards a metre
}
