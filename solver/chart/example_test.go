package chart_test

import (
	"fmt"
	"html"
	"regexp"
	"strings"

	"github.com/ripwright/ripwright/solver/chart"
)

// The lumber that three ways to cut an order take, as bars with the interval for one more
// run.
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
	// An SVG document, ready for a file or a page. Its text:
	for _, text := range regexp.MustCompile(`<text[^>]*>([^<]+)<`).FindAllSubmatch(svg, -1) {
		fmt.Println(strings.TrimSpace(html.UnescapeString(string(text[1]))))
	}
	// Output:
	// Boards for the drawers
	// by values
	// 0
	// 10
	// 20
	// 30
	// 40
	// 50
	// 60
	// boards
	// planned:
	// 43
	// yield alone:
	// 48
	// the order's own:
	// 51
}
