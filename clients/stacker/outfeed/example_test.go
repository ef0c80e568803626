package outfeed_test

import (
	"fmt"

	"github.com/ripwright/ripwright/clients/stacker/outfeed"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// The book follows the messages between a line and the service, and knows what comes out
// of the saw. Before it has seen a run it shows nothing rather than something wrong.
func ExampleBook() {
	b := outfeed.New(outfeed.AtConfirmation)
	fmt.Println(b.View().State)
	b.Opened()
	b.Sent(&ripwrightv1.RunLineRequest{Sequence: 1, Message: &ripwrightv1.RunLineRequest_SetUp{SetUp: &ripwrightv1.LineSetUp{RunId: "shift-3"}}})
	fmt.Println(b.View().State)
	b.Closed()
	fmt.Println(b.View().State)
	// Output:
	// no_line
	// waiting
	// no_line
}
