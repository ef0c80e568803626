package refuse_test

import (
	"fmt"

	"google.golang.org/grpc/status"

	"github.com/ripwright/ripwright/server/refuse"
	"github.com/ripwright/ripwright/solver/fault"
)

// The faults of a request, as reported to its caller.
func ExampleFaults() {
	err := refuse.Faults(fault.List{{Path: "board.length_mm", Says: "is -3; must be above 0 and at most 20000", Reason: fault.OutOfRange}})
	fmt.Println(status.Code(err), len(status.Convert(err).Details()))
	// Output: InvalidArgument 2
}
