package sim_test

import (
	"fmt"

	"github.com/ripwright/ripwright/clients/linesim/sim"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// A controller refuses a plan for a board other than the one in front of the blades.
func ExampleController() {
	setUp := sim.SetUp("example")
	c := sim.Controller{Saw: setUp.GetSaw(), Start: setUp.GetCurrentSetting()}
	fmt.Println(c.Check(&ripwrightv1.Board{BoardId: "b1"}, &ripwrightv1.LinePlan{BoardId: "b2"}))
	// Output: the plan is for board b2, not b1
}
