package wire_test

import (
	"errors"
	"fmt"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/fleet"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/fault"
)

// A request without a width and with a value below 0 gets both faults, by their paths.
func ExampleSolve() {
	saws, err := fleet.BuiltIn()
	if err != nil {
		fmt.Println(err)
		return
	}
	m := &ripwrightv1.SolveBoardRequest{
		SawChoice: &ripwrightv1.SolveBoardRequest_SawName{SawName: saws.Names()[0]},
		Board:     &ripwrightv1.Board{LengthMm: 2400, Stations: []*ripwrightv1.Station{{FarMm: 240}}},
		Order:     &ripwrightv1.CutOrder{Items: []*ripwrightv1.Item{{ItemId: "stile", Value: 14}, {ItemId: "rail", Value: -1, Width: &ripwrightv1.Item_WidthMm{WidthMm: 66.6}}}},
		Options:   &ripwrightv1.SolveOptions{TimeLimitMs: proto.Float64(50)},
	}
	_, err = wire.Solve(m, saws)
	var faults fault.List
	if !errors.As(err, &faults) {
		fmt.Println(err)
		return
	}
	fmt.Println(len(faults), "faults")
	for _, f := range faults {
		fmt.Printf("%s: %s\n", f.Path, f.Says)
	}
	m.Order.Items = m.Order.Items[1:]
	m.Order.Items[0].Value = 9
	job, err := wire.Solve(m, saws)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(job.Problem.Items[0].Min, "nm", job.TimeLimit)
	// Output:
	// 2 faults
	// order.items[0].width_mm: is missing; set width_mm or range
	// order.items[1].value: is -1; must be a number, 0 to 1000000
	// 66600000 nm 50ms
}
