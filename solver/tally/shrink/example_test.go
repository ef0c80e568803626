package shrink_test

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/tally/shrink"
)

// A flat-sawn board of white oak, 150 mm wide at 12 % moisture content, dried to 7 %.
func ExampleSpecies_Between() {
	oak, ok := shrink.Find("white oak")
	if !ok {
		return
	}
	change := oak.Between(12, 7)
	fmt.Printf("%.2f %% across, so %.1f mm\n", change.Tangential, 150*(1+change.Tangential/100))
	// Output:
	// -1.82 % across, so 147.3 mm
}
