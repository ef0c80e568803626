package comment_test

import (
	"context"
	"fmt"
	"strings"

	"github.com/ripwright/ripwright/proto/comment"
)

// What the schema says about a field.
func ExampleRead() {
	all, err := comment.Read(context.Background(), "..")
	if err != nil {
		fmt.Println(err)
		return
	}
	first, _, _ := strings.Cut(all["ripwright.v1.Setting.fence_mm"], ".")
	fmt.Println(first)
	// Output: Where the fence face stands on the arbor in mm, -5000 to 5000
}
