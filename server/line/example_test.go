package line_test

import (
	"context"
	"fmt"
	"time"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/fleet"
	"github.com/ripwright/ripwright/server/line"
	"github.com/ripwright/ripwright/server/metrics"
)

// Two strips of 2.4 m came out of a board: 4.8 m of the order are made.
func ExampleServer_ConfirmCut() {
	saws, err := fleet.BuiltIn()
	if err != nil {
		fmt.Println(err)
		return
	}
	s := line.New(line.Config{Saws: saws, Watch: metrics.New(time.Now), Now: time.Now, Closing: context.Background()})
	strip := &ripwrightv1.CutStrip{ItemId: "stile", WidthMm: 66.6, Stretches: []*ripwrightv1.CutStretch{{LengthMm: 2400}}}
	answer, err := s.ConfirmCut(context.Background(), &ripwrightv1.ConfirmCutRequest{
		ConfirmationId: "board 17",
		SawChoice:      &ripwrightv1.ConfirmCutRequest_SawName{SawName: "heron"},
		Board:          &ripwrightv1.Board{BoardId: "17", LengthMm: 2400, Stations: []*ripwrightv1.Station{{FarMm: 240}}},
		Order: &ripwrightv1.CutOrder{Items: []*ripwrightv1.Item{{ItemId: "stile", Value: 14, Width: &ripwrightv1.Item_WidthMm{WidthMm: 66.6},
			Required: &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_LengthM{LengthM: 120}}}}},
		Outcome: ripwrightv1.CutOutcome_CUT_OUTCOME_AS_MEASURED,
		Strips:  []*ripwrightv1.CutStrip{strip, strip},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, f := range answer.GetFills() {
		fmt.Println(f.GetItemId(), f.GetMadeAfter().GetLengthM())
	}
	// Output: stile 4.8
}
