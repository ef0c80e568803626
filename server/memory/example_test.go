package memory_test

import (
	"fmt"

	"github.com/ripwright/ripwright/server/memory"
)

// Four searches that have 100 MiB together have 25 MiB each, however many run.
func ExampleEach() {
	fmt.Println(memory.Each(100<<20, 4) >> 20)
	// Output: 25
}
