package arbor_test

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/arbor"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// Two fixed blades stand 40 mm apart; the order wants strips of 66 mm. The search finds a
// better position that the spacers allow, and its gain on a mean board.
func ExampleSolve() {
	const mm = unit.Millimetre
	p := &arbor.Problem{
		Saw: saw.Saw{Kerf: 4 * mm, Step: mm, Gap: 20 * mm, LeastStrip: 20 * mm, Fence: saw.Travel{Max: 150 * mm, Current: 100 * mm},
			Blades: []saw.Blade{{At: 100 * mm}, {At: 144 * mm}}},
		Orders: []arbor.Order{{Weight: 1, Items: []order.Item{{ID: "frame", Min: 66 * mm, Max: 66 * mm, Value: 10_000_000}}}},
		Boards: []lumber.Kind{
			{Board: wood.Board{Length: 2400 * mm, Stations: []wood.Station{{Far: 150 * mm}}}, Count: 3},
			{Board: wood.Board{Length: 2400 * mm, Stations: []wood.Station{{Far: 90 * mm}}}, Count: 1},
		},
		Spacers: arbor.Spacers{Increment: 10 * mm, Min: 60 * mm, Max: 200 * mm},
	}
	r, err := arbor.Solve(p, arbor.Options{Suggestions: 1, Settings: 1000, Level: 0.9})
	if err != nil {
		fmt.Println(err)
		return
	}
	best := r.Best[0]
	fmt.Printf("today %.3f a board; blades at %v and %v mm: %.3f\n", r.Today.Worth, best.Fixed[0].MM(), best.Fixed[1].MM(), best.Worth)
	fmt.Printf("%d settings tried, all that there are: %v\n", r.Tried, r.All)
	// Output:
	// today 0.000 a board; blades at 100 and 170 mm: 1.584
	// 78 settings tried, all that there are: true
}
