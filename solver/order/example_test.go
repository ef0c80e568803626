package order_test

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/unit"
)

// Drawer sides, 95 mm wide, sold by the metre: what a strip is worth, and how much the
// order still wants.
func ExampleItem() {
	const mm = unit.Millimetre
	side := &order.Item{ID: "drawer side", Min: 95 * mm, Max: 95 * mm, Value: 1_200_000, Basis: order.PerLength,
		Measure: order.ByLength, Required: 400_000_000, Made: 310_000_000}
	fmt.Println(side.Worth(95*mm, 2_400_000).Money(), "for 2.4 m")
	open, limited := side.Open()
	fmt.Println(unit.Run(open).Metres(), "m open", limited)
	// Output:
	// 2.88 for 2.4 m
	// 90 m open true
}
