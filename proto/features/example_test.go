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
	// Output: Boards are set at an angle where the saw says how far its infeed can (`max_skew_mm_per_m`).
}
