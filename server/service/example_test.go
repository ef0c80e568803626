package service_test

import (
	"context"
	"fmt"
	"time"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/fleet"
	"github.com/ripwright/ripwright/server/metrics"
	"github.com/ripwright/ripwright/server/service"
)

// A board planned in this process, without a network.
func ExampleService_SolveBoard() {
	saws, err := fleet.BuiltIn()
	if err != nil {
		fmt.Println(err)
		return
	}
	s := service.New(saws, service.Config{Solves: 1, Longest: 10 * time.Second}, metrics.New(time.Now), time.Now)
	answer, err := s.SolveBoard(context.Background(), &ripwrightv1.SolveBoardRequest{
		SawChoice: &ripwrightv1.SolveBoardRequest_SawName{SawName: "heron"},
		Board:     &ripwrightv1.Board{LengthMm: 2400, Stations: []*ripwrightv1.Station{{FarMm: 240}}},
		Order:     &ripwrightv1.CutOrder{Items: []*ripwrightv1.Item{{ItemId: "stile", Value: 14, Width: &ripwrightv1.Item_WidthMm{WidthMm: 66.6}}}},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(answer.GetProof().GetProven())
	for _, p := range answer.GetPlan().GetPockets() {
		if p.GetItemId() != "" {
			fmt.Println(p.GetItemId(), p.GetWidthMm())
		}
	}
	// Output:
	// true
	// stile 66.6
	// stile 66.6
}
