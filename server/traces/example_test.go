package traces_test

import (
	"context"
	"fmt"

	"github.com/ripwright/ripwright/server/traces"
)

// Without a collector's address in the environment traces are off: nil, which may be used
// like any other.
func ExampleOpen() {
	t, err := traces.Open(context.Background(), func(string) string { return "" })
	fmt.Println(t == nil, err)
	fmt.Println(t.Server() == nil, t.Close())
	// Output:
	// true <nil>
	// true <nil>
}
