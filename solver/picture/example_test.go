package picture_test

import (
	"fmt"
	"html"
	"regexp"
	"strings"

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
	// An SVG document, ready for a file or a page. Its text without numbers:
	for _, text := range regexp.MustCompile(`<text[^>]*>([^<]*[a-z]{2}[^<]*)<`).FindAllSubmatch(svg, -1) {
		fmt.Println(strings.TrimSpace(html.UnescapeString(string(text[1]))))
	}
	// Output:
	// Board M-17-04
	// worth 0.96, yield 40.0 %
	// 2.000 m long, up to 150.0 mm wide
	// Drawn to scale, across 6 times as large as along.
	// leading end, first to the blades
	// A: slat, 60.0 mm x 2.000 m
	// blade 2
	// 164.0 mm
	// fixed
	// blade 1
	// 100.0 mm
	// fixed
	// fence
	// 14.0 mm
	// positions on the arbor
	// y mm
	// in
	// x mm
	// ft in
	// A: slat, 1 strip, 2.00 m
	// edging, 0.172 m2
	// kerf, 0.008 m2
	// Thick outline: wane, trimmed to the broken line. Numbers on the right: where blades and fence stand on the arbor. A plan is advice: the machine's safeguards decide.
}
