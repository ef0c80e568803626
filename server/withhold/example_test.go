package withhold_test

import (
	"fmt"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/fleet"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/server/withhold"
	"github.com/ripwright/ripwright/solver/rip"
)

// A plan as it was found passes; one that claims more than it is worth is withheld.
func ExampleResult() {
	saws, err := fleet.BuiltIn()
	if err != nil {
		fmt.Println(err)
		return
	}
	job, err := wire.Solve(&ripwrightv1.SolveBoardRequest{
		SawChoice: &ripwrightv1.SolveBoardRequest_SawName{SawName: "heron"},
		Board:     &ripwrightv1.Board{LengthMm: 2400, Stations: []*ripwrightv1.Station{{FarMm: 240}}},
		Order:     &ripwrightv1.CutOrder{Items: []*ripwrightv1.Item{{ItemId: "stile", Value: 14, Width: &ripwrightv1.Item_WidthMm{WidthMm: 66.6}}}},
	}, saws)
	if err != nil {
		fmt.Println(err)
		return
	}
	r, err := rip.Solve(&job.Problem, job.Options)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(withhold.Result(job, r))
	r.Best.Worth = r.Best.Worth.Add(r.Best.Worth)
	fmt.Println(withhold.Result(job, r))
	// Output:
	// <nil>
	// the plan for this board failed the service's own check and was withheld; nothing is planned
}
