package intake_test

import (
	"fmt"
	"strings"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/intake"
)

// A body of 9 kB with more items than an order may have is refused before any of them is
// made.
func ExampleLimits_JSON() {
	body := `{"order":{"items":[` + strings.Repeat("{},", 3000) + `{}]}}`
	_, faults := intake.LimitsOf(4<<20).JSON([]byte(body), (&ripwrightv1.SolveBoardRequest{}).ProtoReflect().Descriptor())
	for _, f := range faults {
		fmt.Println(f.Path, f.Says)
	}
	// Output: order.items has 3001 entries; must have 0 to 500
}
