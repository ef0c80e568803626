package svg_test

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/svg"
)

// A board with its width written across it. Coordinates are whole hundredths of a pixel,
// so the drawing is the same byte for byte on every machine.
func ExampleCanvas() {
	const px = svg.Pixel
	var c svg.Canvas
	c.Rect(10*px, 10*px, 240*px, 60*px, `fill="#f6efe2"`)
	c.Text(130*px, 40*px, 16*px, svg.Middle, "231.5 mm < 9.2 in", `fill="#111111"`)
	c.Path(fmt.Sprintf("M%s %sv%s", 20*px, 10*px, 60*px), `stroke="#111111"`)
	fmt.Print(c.Out.String())
	// Output:
	// <rect x="10" y="10" width="240" height="60" fill="#f6efe2"/>
	// <text x="130" y="45.6" font-size="16" text-anchor="middle" fill="#111111">231.5 mm &lt; 9.2 in</text>
	// <path d="M20 10v60" stroke="#111111"/>
}
