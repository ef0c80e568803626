package caller_test

import (
	"context"
	"fmt"

	"github.com/ripwright/ripwright/server/caller"
)

// The caller with most under way comes first.
func ExampleMost() {
	for _, c := range caller.Most([]caller.Count{{Caller: caller.Address("10.0.0.7:50112"), N: 2}, {Caller: caller.Token("line 1"), N: 5}}, 1) {
		fmt.Println(c.N, c.Caller == caller.Token("line 1"))
	}
	fmt.Println(caller.Of(caller.With(context.Background(), caller.Token("line 1"))) == caller.Token("line 1"))
	// Output:
	// 5 true
	// true
}
