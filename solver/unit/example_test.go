package unit_test

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/unit"
)

// A width comes as a number and is exact from then on.
func ExampleFromMM() {
	width, ok := unit.FromMM(66.6)
	fmt.Println(int64(width), "nm", width.MM(), "mm", ok)
	_, ok = unit.FromMM(1e9) // a thousand kilometres
	fmt.Println(ok)
	// Output:
	// 66600000 nm 66.6 mm true
	// false
}

// A strip 66.6 mm wide and 2.4 m long, at 9 a square metre: 1.43856, to the last digit.
func ExampleWorthOf() {
	const perSquareMetre = 9_000_000 // millionths of money
	strip := unit.WorthOf(perSquareMetre, int64(66_600*unit.Micrometre), 2_400_000)
	fmt.Println(strip.Money(), strip.Big())
	// Output:
	// 1.43856 1438560000000000000000
}
