package share_test

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/planning/share"
)

// 47 strips are open, two of them on a board that the second line has planned. The third
// line is stopped.
func ExampleSplit() {
	fmt.Println(share.Split([]share.Amount{{Open: 47, Unit: 1, Size: 1, Reserved: []int64{0, 2, 0}, Weights: []int64{40, 30, 0}}}))
	// Output: [[27 20 0]]
}
