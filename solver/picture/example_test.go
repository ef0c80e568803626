package picture_test

import (
	"bytes"
	"fmt"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/picture"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/unit/people"
	"github.com/ripwright/ripwright/solver/wood"
)

// A plan as a picture to scale, for a browser or a printer.
func ExampleDraw() {
	const mm = unit.Millimetre
	p := &rip.Problem{
		Board: wood.Board{Length: 2000 * mm, Stations: []wood.Station{{Far: 150 * mm}}},
		Saw: saw.Saw{Kerf: 4 * mm, Step: mm, Gap: 20 * mm, LeastStrip: 20 * mm,
			Fence: saw.Travel{Max: 100 * mm}, Blades: []saw.Blade{{At: 100 * mm}, {At: 164 * mm}}},
		Items: []order.Item{{ID: "slat", Min: 60 * mm, Max: 60 * mm, Value: 8_000_000}},
	}
	r, err := rip.Solve(p, rip.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	svg := picture.Draw(p, r.Best, picture.Options{Board: "M-17-04", Units: people.Metric})
	fmt.Println(bytes.HasPrefix(svg, []byte("<svg ")), bytes.Contains(svg, []byte("slat, 60.0 mm x 2.000 m")))
	// Output:
	// true true
}
