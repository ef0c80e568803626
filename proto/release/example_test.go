package release_test

import (
	"fmt"

	"github.com/ripwright/ripwright/proto/release"
)

// A program built outside a release says so.
func ExampleOf() {
	fmt.Println(release.Of().Version)
	// Output: unreleased
}
