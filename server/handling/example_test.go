package handling_test

import (
	"context"
	"fmt"

	"github.com/ripwright/ripwright/server/handling"
)

// Long messages are read and written in turn; a short request does not wait.
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
