package front_test

import (
	"fmt"

	"google.golang.org/grpc/status"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/front"
)

// A misspelt limit must not silently be no limit: the field is named.
func ExampleDecode() {
	err := front.Decode([]byte(`{"saw_name": "heron", "options": {"runners_upp": 2}}`), &ripwrightv1.SolveBoardRequest{})
	fmt.Println(status.Code(err))
	fmt.Println(status.Convert(err).Message())
	// Output:
	// InvalidArgument
	// options.runners_upp is not a field; did you mean runners_up? There are runners_up, time_limit_ms, work_limit, price_per_saw_hour, detail, turn_boards
}
