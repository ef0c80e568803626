package wood_test

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// A board tapers from 240 mm to 200 mm. A strip that reaches up to 215 mm is clear only
// as far as the far edge is at least that high.
func ExampleClear() {
	const mm = unit.Millimetre
	board := &wood.Board{Length: 2400 * mm, Stations: []wood.Station{
		{X: 0, Near: 0, Far: 240 * mm},
		{X: 2400 * mm, Near: 0, Far: 200 * mm},
	}}
	fmt.Printf("%.3f m2\n", board.Face().SquareMetres())
	usable := wood.NewClear(board, 0)
	for _, run := range usable.Runs(nil, 150*mm, 215*mm) {
		fmt.Printf("from %v to %v m\n", run.From.Metres(), run.To.Metres())
	}
	// Output:
	// 0.528 m2
	// from 0 to 1.5 m
}

// Everything that is wrong with a board is reported at once, by field.
func ExampleBoard_Faults() {
	const mm = unit.Millimetre
	board := &wood.Board{Length: 2400 * mm, Stations: []wood.Station{
		{X: 0, Near: 0, Far: 240 * mm},
		{X: 2500 * mm, Near: 90 * mm, Far: 80 * mm},
	}}
	for _, f := range board.Faults() {
		fmt.Println(f.Path, f.Says)
	}
	// Output:
	// stations[1].x_mm is 2500; must lie on the board, 0 to 2400
	// stations[1].far_mm is 80, less than near_mm 90; the edges cross
}
