package ripwrightv1_test

import (
	"fmt"

	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// A board and an order as they are sent: over gRPC by
// NewRipServiceClient(conn).SolveBoard, over HTTP as JSON to /v1/boards:solve.
func Example() {
	m := &ripwrightv1.SolveBoardRequest{
		SawChoice: &ripwrightv1.SolveBoardRequest_SawName{SawName: "heron"},
		Board: &ripwrightv1.Board{BoardId: "b1", LengthMm: 2400, Stations: []*ripwrightv1.Station{
			{FarMm: 240}, {XMm: 2400, NearMm: 4, FarMm: 232}}},
		Order: &ripwrightv1.CutOrder{Items: []*ripwrightv1.Item{{ItemId: "stile", Value: 14,
			Width:    &ripwrightv1.Item_WidthMm{WidthMm: 66.6},
			Required: &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_LengthM{LengthM: 120}}}}},
		Options: &ripwrightv1.SolveOptions{RunnersUp: 2, TimeLimitMs: proto.Float64(50)},
	}
	text, err := protojson.MarshalOptions{UseProtoNames: true}.Marshal(m)
	if err != nil {
		fmt.Println(err)
		return
	}
	var again ripwrightv1.SolveBoardRequest
	fmt.Println(protojson.Unmarshal(text, &again), proto.Equal(m, &again))
	// Output: <nil> true
}
