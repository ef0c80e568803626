package overlap_test

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/overlap"
	"github.com/ripwright/ripwright/solver/paced"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// One stile of the first order is open. The board yields it, and the next order gets the
// rest, although its items are worth more.
func ExampleSolve() {
	const mm = unit.Millimetre
	moving := saw.Travel{Min: 130 * mm, Max: 400 * mm, Current: 200 * mm}
	p := &rip.Problem{
		Board: wood.Board{Length: 2400 * mm, Stations: []wood.Station{{Far: 180 * mm}}},
		Saw: saw.Saw{Kerf: 4 * mm, Step: mm, Gap: 25 * mm, LeastStrip: 25 * mm,
			Fence:  saw.Travel{Min: 100 * mm, Max: 100 * mm, Current: 100 * mm},
			Blades: []saw.Blade{{At: 104 * mm}, {Moving: true, Travel: moving}, {Moving: true, Travel: moving}}},
		Items: []order.Item{
			{ID: "AC-17, stile", Min: 80 * mm, Max: 80 * mm, Value: 4_000_000, Measure: order.ByLength, Required: 2_000_000},
			{ID: "AC-18, slat", Min: 78 * mm, Max: 78 * mm, Value: 9_000_000},
		},
	}
	r, err := overlap.Solve(p, 1, paced.Terms{}, overlap.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, k := range r.Best.Pockets {
		if k.Item != rip.None {
			fmt.Println(p.Items[k.Item].ID)
		}
	}
	// Output:
	// AC-17, stile
	// AC-18, slat
}
