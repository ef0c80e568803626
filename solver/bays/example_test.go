package bays_test

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/bays"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/unit"
)

// An outfeed with two bays and an order of three items, each with its own stack. The two
// with most open come first; the third gets the bay of the one that is filled.
func Example() {
	const (
		mm    = unit.Millimetre
		metre = 1_000_000 // micrometres, as lengths of strips are counted
	)
	items := []order.Item{
		{ID: "stile", Min: 66 * mm, Max: 66 * mm, Measure: order.ByLength, Required: 90 * metre},
		{ID: "rail", Min: 50 * mm, Max: 50 * mm, Measure: order.ByLength, Required: 40 * metre},
		{ID: "slat", Min: 30 * mm, Max: 30 * mm, Measure: order.ByLength, Required: 100 * metre},
	}
	var stacks []bays.Stack
	for _, it := range items {
		stacks = append(stacks, bays.Of("AC-17", it.ID, ""))
	}
	outfeed := bays.New(2)
	for _, stiles := range []int64{0, 60, 90} {
		items[0].Made = stiles * metre
		next, changes, _ := outfeed.Choose(bays.Wants(items, stacks, len(items), nil, 2400*mm), unit.Worth{})
		fmt.Printf("%d m of stiles made:", stiles)
		for _, c := range changes {
			fmt.Printf(" bay %d takes %s;", c.Bay+1, next.In[c.Bay].Stack.Item)
		}
		fmt.Println()
		outfeed = next
	}
	// Output:
	// 0 m of stiles made: bay 1 takes stile; bay 2 takes slat;
	// 60 m of stiles made:
	// 90 m of stiles made: bay 1 takes rail;
}
