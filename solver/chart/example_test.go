package chart_test

import (
	"bytes"
	"fmt"

	"github.com/ripwright/ripwright/solver/chart"
)

// What three ways to cut an order take, as bars with what one more run would lie between.
func ExampleDraw() {
	svg := chart.Draw("Boards for the drawers", chart.Bars{
		Title: "by values",
		Axis:  chart.Axis{Says: "boards"},
		Bars: []chart.Bar{
			{Name: "planned", Value: 43, Low: 41, High: 46, Shown: "43"},
			{Name: "yield alone", Value: 48, Low: 45, High: 52, Shown: "48"},
			{Name: "the order's own", Value: 51, Low: 48, High: 55, Shown: "51", Given: true},
		},
	})
	fmt.Println(bytes.HasPrefix(svg, []byte("<svg ")), bytes.Contains(svg, []byte("yield alone")))
	// Output:
	// true true
}
