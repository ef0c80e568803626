package lumber_test

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/unit"
)

// The rows of a pack tag represent its boards; the same seed draws the same ones.
func ExampleLot_Sample() {
	const mm = unit.Millimetre
	lot := lumber.Lot{ID: "M-17", Price: 1_800_000, From: lumber.Tagged{Thickness: 26 * mm, Rows: []lumber.TagRow{
		{Width: 180 * mm, Length: 2400 * mm, Count: 30},
		{Width: 210 * mm, Length: 3000 * mm, Count: 12},
	}}}
	for _, k := range lot.Sample(10, 1) {
		fmt.Printf("%d of %v by %v mm, %.2f board feet each\n", k.Count, k.Board.GreatestWidth().MM(), k.Board.Length.MM(), lumber.BoardFeet(&k.Board))
	}
	// Output:
	// 30 of 180 by 2400 mm, 4.76 board feet each
	// 12 of 210 by 3000 mm, 6.94 board feet each
}
