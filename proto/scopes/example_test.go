package scopes_test

import (
	"fmt"

	"github.com/ripwright/ripwright/proto/scopes"
)

func ExampleAll() {
	fmt.Println(scopes.All()["/ripwright.v1.RipService/SolveBoard"])
	// Output: [line office]
}
