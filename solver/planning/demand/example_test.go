package demand_test

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/demand"
	"github.com/ripwright/ripwright/solver/unit"
)

// An order has a row for each amount that it wants: one for an item by length, one for
// each crosscut length.
func ExampleNew() {
	const mm = unit.Millimetre
	o, faults := demand.New([]order.Item{
		{ID: "rail", Min: 55 * mm, Max: 55 * mm, Measure: order.ByLength, Required: 60_000_000, Made: 10_000_000, Value: 8_000_000},
		{ID: "leg", Min: 70 * mm, Max: 70 * mm, Cuts: []order.Cut{
			{Length: 720 * mm, Value: 1_500_000, Limited: true, Required: 40},
			{Length: 450 * mm, Value: 800_000, Limited: true, Required: 80},
		}},
	})
	if len(faults) > 0 {
		fmt.Println(faults)
		return
	}
	for _, r := range o.Rows {
		it := &o.Items[r.Item]
		if r.Cut == demand.Whole {
			fmt.Println(it.ID, r.Units(r.Open), "m")
		} else {
			fmt.Println(it.ID, it.Cuts[r.Cut].Length.MM(), "mm:", r.Units(r.Open), "pieces")
		}
	}
	// Output:
	// rail 50 m
	// leg 720 mm: 40 pieces
	// leg 450 mm: 80 pieces
}
