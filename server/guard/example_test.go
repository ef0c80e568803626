package guard_test

import (
	"fmt"

	"google.golang.org/protobuf/encoding/protowire"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/guard"
)

// A newer client's field, number 900, is named by its path.
func ExampleUnknown() {
	board := &ripwrightv1.Board{BoardId: "b1"}
	board.ProtoReflect().SetUnknown(protowire.AppendVarint(protowire.AppendTag(nil, 900, protowire.VarintType), 1))
	for _, f := range guard.Unknown(&ripwrightv1.SolveBoardRequest{Board: board}) {
		fmt.Println(f.Path, f.Says)
	}
	// Output: board.900 is a field of Board that this release does not know
}
