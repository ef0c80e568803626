package invented_test

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/planning/invented"
)

// An order of about 200 boards: the same seed gives the same order.
func ExampleOrder() {
	a, b := invented.Order(7, 200), invented.Order(7, 200)
	fmt.Println(len(a.Values.Items), "widths", a.Values.Items[0].Min == b.Values.Items[0].Min)
	// Output: 10 widths true
}
