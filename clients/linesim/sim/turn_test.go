package sim

import (
	"context"
	"testing"
	"time"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// A line whose boards may be turned runs like any other: the controller turns each board
// as its plan says and finds wood under every strip, and the service's books equal the
// line's.
func TestLineThatTurnsBoards(t *testing.T) {
	r := begin(t)
	defer r.fell()
	setUp := SetUp("turned")
	setUp.GetSaw().Turns = []*ripwrightv1.SawTurn{{Turn: ripwrightv1.BoardTurn_BOARD_TURN_EDGE_OVER_EDGE, Cost: 0.001}, {Turn: ripwrightv1.BoardTurn_BOARD_TURN_END_FOR_END, Cost: 0.002}}
	setUp.Options.TurnBoards = true
	turned := 0
	report, err := Run(t.Context(), Config{Seed: 3, Boards: 40, SetUp: setUp, Patience: time.Minute,
		Dial: func(context.Context) (ripwrightv1.RipServiceClient, func(), error) { return dial(r.GRPC()) },
		Heard: func(_ *ripwrightv1.RunLineRequest, a *ripwrightv1.RunLineResponse) {
			if a.GetPlan().GetPlan().GetSetting().GetTurn() > ripwrightv1.BoardTurn_BOARD_TURN_AS_SCANNED {
				turned++
			}
		}})
	if err != nil || len(report.Wrong) > 0 {
		t.Fatal(err, report.Wrong)
	}
	if turned == 0 {
		t.Error("no board was turned")
	}
	t.Logf("%d of 40 boards turned", turned)
}

// The controller refuses a turn that the line cannot make, and one that is not the
// plan's.
func TestControllerRefusesTurns(t *testing.T) {
	over := ripwrightv1.BoardTurn_BOARD_TURN_EDGE_OVER_EDGE
	b := &ripwrightv1.Board{LengthMm: 2000, Stations: []*ripwrightv1.Station{{FarMm: 200}, {XMm: 1000, NearMm: 10, FarMm: 190}}}
	saw := &ripwrightv1.Saw{Turns: []*ripwrightv1.SawTurn{{Turn: over}}}
	for what, c := range map[string]struct {
		control Controller
		turn    ripwrightv1.BoardTurn
		ok      bool
	}{
		"as scanned":      {Controller{Saw: saw}, ripwrightv1.BoardTurn_BOARD_TURN_AS_SCANNED, true},
		"no turning line": {Controller{Saw: saw}, over, false},
		"turned":          {Controller{Saw: saw, Turns: true}, over, true},
		"not allowed":     {Controller{Saw: saw, Turns: true}, ripwrightv1.BoardTurn_BOARD_TURN_END_OVER_END, false},
		"unknown":         {Controller{Saw: saw, Turns: true}, 9, false},
	} {
		if lies, err := c.control.turned(b, c.turn); (err == nil) != c.ok {
			t.Errorf("%s: %v, %v", what, lies, err)
		}
	}
	straight := proto.CloneOf(b)
	straight.NearEdgeStraight = true
	control := Controller{Saw: saw, Turns: true}
	if _, err := control.turned(straight, over); err == nil {
		t.Error("a turn takes a straight edge away from the fence")
	}
	lies, err := control.turned(b, over)
	if err != nil || lies.GetStations()[1].GetNearMm() != 10 || lies.GetStations()[1].GetFarMm() != 190 || lies.GetStations()[0].GetNearMm() != 0 {
		t.Errorf("%v %v", lies, err)
	}
}
