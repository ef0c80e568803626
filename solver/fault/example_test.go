package fault_test

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/fault"
)

// Faults in a part of an input have the part's path before their own.
func ExampleList_Within() {
	var board fault.List
	board.Because(fault.OutOfRange, "length_mm", "is %d; must be 1 to 20000", 0)
	board.Add("stations[1].far_mm", "is below near_mm")

	var all fault.List
	all.Within("board", board)
	for _, f := range all {
		fmt.Println(f.Path, f.Says)
	}
	fmt.Println(all.Err() == nil, fault.List{}.Err() == nil)
	// Output:
	// board.length_mm is 0; must be 1 to 20000
	// board.stations[1].far_mm is below near_mm
	// false true
}
