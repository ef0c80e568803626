package features_test

import (
	"fmt"

	"github.com/ripwright/ripwright/proto/features"
)

// The words that GetServerInfo lists, with what each stands for.
func Example() {
	for _, f := range features.All {
		if f.Name == "skew" {
			fmt.Println(f.For)
		}
	}
	// Output: Boards are set at an angle if the saw states the limit of its infeed (`max_skew_mm_per_m`).
}
