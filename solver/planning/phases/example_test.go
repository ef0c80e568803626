package phases_test

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/demand"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/planning/phases"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// An outfeed with two bays, one of them taken by the stiles, and boards of 168 mm. Beside
// a panel of 100 mm there is room for a stile of 60 mm and nothing else, so the panels
// come first: 20 boards give all stiles and panels, and two and a half the rails. With
// the rails first, ten boards would give stiles and rails, and twenty more the panels
// alone.
func Example() {
	const mm = unit.Millimetre
	free := saw.Travel{Max: 600 * mm}
	creek := saw.Saw{
		Kerf: 4 * mm, Step: mm, Gap: 20 * mm, LeastStrip: 20 * mm, Fence: saw.Travel{},
		Blades: []saw.Blade{{Moving: true, Travel: free}, {Moving: true, Travel: free}, {Moving: true, Travel: free}, {Moving: true, Travel: free}, {Moving: true, Travel: free}},
	}
	item := func(id string, width unit.Length, metres int64) order.Item {
		return order.Item{ID: id, Min: width, Max: width, Measure: order.ByLength, Required: metres * 1_000_000, Value: 1}
	}
	wants, _ := demand.New([]order.Item{item("stile", 60*mm, 40), item("panel", 100*mm, 40), item("rail", 36*mm, 20)})
	plan, err := phases.Find(&phases.Problem{
		Saw: creek, Demand: wants,
		Boards: []lumber.Kind{{Board: wood.Board{Length: 2000 * mm, Stations: []wood.Station{{Far: 168 * mm}}}, Count: 1}},
		Values: []int64{60_000_000, 100_000_000, 36_000_000},
		Stacks: []int{0, 1, 2}, Bays: 2, In: []int{0}, Waits: []int{2, 1},
		Work: 100_000, Sets: 100,
	})
	if err != nil {
		panic(err)
	}
	fmt.Printf("after the stiles: %v; %.1f boards\n", plan.Waits, plan.Boards)
	// Output:
	// after the stiles: [1 2]; 22.5 boards
}
