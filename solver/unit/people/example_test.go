package people_test

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/unit/people"
)

// Lengths are read as people write them, and written so that they can be read again.
func ExampleLength() {
	for _, text := range []string{"44.5mm", "1-3/4in", "12ft 6in", "44"} {
		l, err := people.Length(text)
		if err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Printf("%s is %v mm, written %s or %s\n", text, l.MM(), people.Metric.Exact(l), people.Inch.Exact(l))
	}
	// Output:
	// 44.5mm is 44.5 mm, written 44.5mm or 1.7519685in
	// 1-3/4in is 44.45 mm, written 44.45mm or 1-3/4in
	// 12ft 6in is 3810 mm, written 3810mm or 150in
	// "44" has no unit; write 44mm or 44in
}
