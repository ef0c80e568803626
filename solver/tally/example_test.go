package tally_test

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/tally"
	"github.com/ripwright/ripwright/solver/unit"
)

// Three boards of 5/4 stock by surface measure, which rounds each board to whole square
// feet, and by their exact volume.
func ExampleMeasure() {
	board := func(inches, feet unit.Length) tally.Board {
		return tally.Board{Width: inches * unit.Inch, Length: feet * unit.Foot, Pieces: 1}
	}
	sums := tally.Measure([]tally.Board{board(6, 9), board(7, 11), board(10, 12)}, unit.Inch*5/4, nil)
	for _, rule := range []tally.Rule{tally.SurfaceMeasure, tally.ExactVolume} {
		feet := sums.BoardFeet(rule, unit.Inch*5/4)
		fmt.Println(feet.FloatString(2))
	}
	// Output:
	// 26.25
	// 26.15
}

// A pack whose supplier tallied two boards more than there are.
func ExampleTerms_Account() {
	board := tally.Board{Width: 8 * unit.Inch, Length: 12 * unit.Foot, Pieces: 1}
	pack := tally.Pack{ID: "M-17", Species: "hard maple", Thickness: unit.Inch, Price: 1_800_000_000,
		Tally:  &tally.Supplied{Form: tally.Counts, Counts: []tally.Board{{Width: board.Width, Length: board.Length, Pieces: 12}}},
		Boards: []tally.Board{board, board, board, board, board, board, board, board, board, board}}
	terms := tally.Terms{Rule: tally.SurfaceMeasure}
	r, err := terms.Account([]tally.Pack{pack})
	if err != nil {
		fmt.Println(err)
		return
	}
	a := r.Accounts[0]
	fmt.Println("tallied", a.Tallied.FloatString(0), "measured", a.Measured.FloatString(0), "money", a.Comparison.Money.FloatString(2), a.Comparison.Verdict == tally.Lacks)
	// Output:
	// tallied 96 measured 80 money -28.80 true
}
