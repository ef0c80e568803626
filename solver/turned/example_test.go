package turned_test

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/paced"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/turned"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// The narrow pocket of the arbor lies at the fence, and so does the knot. Turning the
// board over its long edge keeps the knot out of the wide strip, unless turning costs
// more.
func ExampleSolve() {
	const mm = unit.Millimetre
	p := &rip.Problem{
		Board: wood.Board{Length: 2400 * mm, Stations: []wood.Station{{Far: 180 * mm}},
			Defects: []wood.Defect{{FromX: 900 * mm, ToX: 1400 * mm, FromY: 120 * mm, ToY: 140 * mm, Kind: "knot"}}},
		Saw: saw.Saw{Kerf: 4 * mm, Step: mm, Gap: 25 * mm, LeastStrip: 25 * mm, Fence: saw.Travel{Min: 100 * mm, Max: 100 * mm, Current: 100 * mm},
			Blades: []saw.Blade{{At: 104 * mm}, {At: 164 * mm}, {At: 270 * mm}}},
		Items: []order.Item{
			{ID: "narrow", Min: 56 * mm, Max: 56 * mm, Value: 10_000_000, LeastLength: 600 * mm},
			{ID: "wide", Min: 102 * mm, Max: 102 * mm, Value: 10_000_000, LeastLength: 1800 * mm},
		},
	}
	for _, cost := range []int64{500_000, 3_000_000} {
		p.Saw.Turns = []saw.Turning{{Turn: wood.EdgeOverEdge, Cost: cost}}
		r, err := turned.Solve(p, paced.Terms{}, rip.Options{})
		if err != nil {
			fmt.Println(err)
			return
		}
		net := turned.Net(p, paced.Terms{}, r.Best)
		fmt.Printf("%s: worth %.3f, %.3f after turning, proven %v\n", r.Best.Turn, r.Best.Worth.Money(), net.Money(), r.Proven)
	}
	// Output:
	// edge over edge: worth 3.512, 3.012 after turning, proven true
	// as scanned: worth 1.344, 1.344 after turning, proven true
}
