package instructed_test

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/instructed"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/paced"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// The operator forces a rail from this board, whatever else it yields.
func ExampleSolve() {
	const mm = unit.Millimetre
	moving := saw.Travel{Min: 130 * mm, Max: 400 * mm, Current: 200 * mm}
	p := &rip.Problem{
		Board: wood.Board{Length: 2400 * mm, Stations: []wood.Station{{Far: 180 * mm}}},
		Saw: saw.Saw{Kerf: 4 * mm, Step: mm, Gap: 25 * mm, LeastStrip: 25 * mm,
			Fence:  saw.Travel{Min: 100 * mm, Max: 100 * mm, Current: 100 * mm},
			Blades: []saw.Blade{{At: 104 * mm}, {Moving: true, Travel: moving}, {Moving: true, Travel: moving}}},
		Items: []order.Item{
			{ID: "stile", Min: 80 * mm, Max: 80 * mm, Value: 9_000_000},
			{ID: "rail", Min: 60 * mm, Max: 60 * mm, Value: 5_000_000},
		},
	}
	wish := &instructed.Instructions{Forced: []instructed.Forced{{Item: 1, Strips: 1}}}
	if l := wish.Faults(p); len(l) > 0 {
		fmt.Println(l)
		return
	}
	r, err := instructed.Solve(p, paced.Terms{}, wish, instructed.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, k := range r.Best.Pockets {
		if k.Item != rip.None {
			fmt.Println(p.Items[k.Item].ID)
		}
	}
	fmt.Printf("worth %.3f, without the instruction %.3f\n", r.Best.Worth.Money(), r.Free.Best.Worth.Money())
	fmt.Println("kept:", r.Kept, "proven:", r.Proven)
	// Output:
	// stile
	// rail
	// worth 2.448, without the instruction 3.456
	// kept: true proven: true
}
