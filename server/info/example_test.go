package info_test

import (
	"context"
	"fmt"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/fleet"
	"github.com/ripwright/ripwright/server/info"
)

// The saws that callers can name, a page of two.
func ExampleService_ListSaws() {
	saws, err := fleet.BuiltIn()
	if err != nil {
		fmt.Println(err)
		return
	}
	answer, err := info.New(saws, 4<<20).ListSaws(context.Background(), &ripwrightv1.ListSawsRequest{PageSize: proto.Int32(2)})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range answer.GetSaws() {
		fmt.Println(s.GetSaw().GetName())
	}
	// Output:
	// heron
	// plover
}
