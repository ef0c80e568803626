package main

import (
	"context"
	"encoding/json"
	"io"
	"testing"

	"google.golang.org/grpc"
	"google.golang.org/grpc/credentials/insecure"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/planning/invented"
	"github.com/ripwright/ripwright/testdata/written"
)

// begin runs the program in this process and connects to where it says that it serves.
// ended gives what it ends with.
func begin(ctx context.Context, t *testing.T, parent io.Reader) (conn *grpc.ClientConn, ended <-chan error) {
	t.Helper()
	log, out := io.Pipe()
	end := make(chan error, 1)
	go func() {
		err := run(ctx, parent, out)
		_ = out.CloseWithError(err) // for a reader that still waits
		end <- err
	}()
	var l struct{ Msg, GRPC string }
	if err := json.NewDecoder(log).Decode(&l); err != nil || l.Msg != "serving" {
		t.Fatalf("%+v: %v", l, err)
	}
	conn, err := grpc.NewClient(l.GRPC, grpc.WithTransportCredentials(insecure.NewCredentials()))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = conn.Close() })
	return conn, end
}

// No time limit, however short, ends a search.
func TestNoTimePasses(t *testing.T) {
	parent, held := io.Pipe()
	defer func() { _ = held.Close() }()
	conn, _ := begin(t.Context(), t, parent)
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

// It ends without an error once a signal came or its parent has ended.
func TestEnds(t *testing.T) {
	for _, signalled := range []bool{true, false} {
		ctx, signal := context.WithCancel(t.Context())
		parent, held := io.Pipe()
		_, ended := begin(ctx, t, parent)
		if signalled {
			signal()
		} else {
			_ = held.Close()
		}
		if err := <-ended; err != nil {
			t.Errorf("signalled %v: %v", signalled, err)
		}
		signal()
		_ = held.Close()
	}
}
