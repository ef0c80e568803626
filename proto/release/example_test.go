package release_test

import (
	"fmt"

	"github.com/ripwright/ripwright/proto/release"
)

// A program that nobody made a release of says so.
func ExampleOf() {
	fmt.Println(release.Of().Version)
	// Output: unreleased
}
