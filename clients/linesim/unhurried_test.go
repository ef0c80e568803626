package main

import (
	"testing"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/planning/invented"
	"github.com/ripwright/ripwright/testdata/written"
)

// No time limit, however short, ends a search of the service in this process.
func TestUnhurried(t *testing.T) {
	conn, end, err := unhurried()
	if err != nil {
		t.Fatal(err)
	}
	defer end()
	p := invented.Order(1, 8)
	m := &ripwrightv1.QuoteOrderRequest{SawChoice: &ripwrightv1.QuoteOrderRequest_Saw{Saw: written.Saw(&p.Values.Saw, &p.Pace)},
		Order: &ripwrightv1.CutOrder{OrderId: "order", Items: written.Items(p.Values.Items)}, Lumber: written.Lots(p.Lots), Simulations: proto.Int32(2), TimeLimitMs: proto.Float64(1e-3)}
	q, err := ripwrightv1.NewPlanningServiceClient(conn).QuoteOrder(t.Context(), m)
	if err != nil {
		t.Fatal(err)
	}
	if q.GetResult() != ripwrightv1.PlanningResult_PLANNING_RESULT_COMPLETE || q.GetQuote().GetSimulations() != 2 {
		t.Errorf("%v, %d simulations", q.GetResult(), q.GetQuote().GetSimulations())
	}
	s := ripwrightv1.NewRipServiceClient(conn)
	b := p.Lots[0].Sample(1, 1)[0].Board
	a, err := s.SolveBoard(t.Context(), &ripwrightv1.SolveBoardRequest{SawChoice: &ripwrightv1.SolveBoardRequest_Saw{Saw: m.GetSaw()}, Order: m.GetOrder(), Board: written.Board("board", &b),
		Options: &ripwrightv1.SolveOptions{TimeLimitMs: proto.Float64(1e-3)}})
	if err != nil || !a.GetProof().GetProven() {
		t.Errorf("%v: %v", a.GetProof(), err)
	}
}
