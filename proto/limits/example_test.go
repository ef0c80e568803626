package limits_test

import (
	"fmt"

	"github.com/ripwright/ripwright/proto/limits"
)

// The limit that the schema states for a field.
func ExampleThe() {
	length := limits.The("Board", "length_mm", limits.Numbers)
	fmt.Println(length, length.Holds(2400), length.Holds(0))
	fmt.Println(limits.The("CutOrder", "items", limits.Entries))
	// Output:
	// above 0 and at most 20000 true false
	// 0 to 500
}
