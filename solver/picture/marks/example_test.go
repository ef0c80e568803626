package marks_test

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/picture/marks"
)

// The marks of the first three items of an order on every screen and print.
func ExampleOf() {
	for i, item := range []string{"stile", "rail", "panel"} {
		m := marks.Of(i)
		fmt.Println(item, m.Letter, marks.Tints()[m.Tint], marks.Patterns()[m.Pattern].Name)
	}
	// Output:
	// stile A #9cc7d8 plain
	// rail B #f0bd69 dots
	// panel C #a3c88d grain
}
