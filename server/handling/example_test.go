package handling_test

import (
	"context"
	"fmt"

	"github.com/ripwright/ripwright/server/handling"
)

// Who reads or writes much takes turns; a short request has none to wait for.
func ExampleDesk() {
	leave, err := handling.New().Enter(context.Background(), 1<<20)
	if err != nil {
		fmt.Println(err)
		return
	}
	defer leave() // once it is read
	fmt.Println("reads")
	// Output: reads
}
