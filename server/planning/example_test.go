package planning_test

import (
	"context"
	"fmt"
	"time"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/fleet"
	"github.com/ripwright/ripwright/server/metrics"
	"github.com/ripwright/ripwright/server/planning"
	"github.com/ripwright/ripwright/server/workers"
)

// Two orders cut by the same arbor follow each other, since a change takes half an hour.
func ExampleService_SequenceOrders() {
	saws, err := fleet.BuiltIn()
	if err != nil {
		fmt.Println(err)
		return
	}
	s := planning.New(saws, planning.Config{Workers: workers.New(workers.Config{Workers: 1, Waiting: 1}, workers.Unwatched{}, time.Now),
		Longest: time.Minute, Watch: metrics.New(time.Now).Plans}, time.Now)
	wide, narrow := &ripwrightv1.ArborSetting{FixedMm: []float64{100, 220}}, &ripwrightv1.ArborSetting{FixedMm: []float64{60, 130}}
	answer, err := s.SequenceOrders(context.Background(), &ripwrightv1.SequenceOrdersRequest{
		Change: &ripwrightv1.ChangeTime{SetupMinutes: 30},
		Jobs: []*ripwrightv1.SequenceJob{
			{OrderId: "doors", Arbors: []*ripwrightv1.ArborSetting{wide}},
			{OrderId: "slats", Arbors: []*ripwrightv1.ArborSetting{narrow}},
			{OrderId: "shelves", Arbors: []*ripwrightv1.ArborSetting{wide}},
		},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, j := range answer.GetBest().GetJobs() {
		fmt.Println(j.GetOrderId())
	}
	// Output:
	// doors
	// shelves
	// slats
}
