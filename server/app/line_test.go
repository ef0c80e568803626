package app

import (
	"context"
	"testing"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/credentials/insecure"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/encoding/protojson"

	"go.uber.org/zap"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/service"
)

// An open line does not hold up a drain: it is served until the listeners close, and then
// ends with a status that tells its client to continue elsewhere.
func TestOpenLineIsDrained(t *testing.T) {
	a, err := New(Config{GRPC: "127.0.0.1:0", HTTP: "127.0.0.1:0", DrainDelay: 200 * time.Millisecond, Drain: time.Minute,
		Service: service.Config{Solves: 2, Waiting: 16, Longest: 10 * time.Second}}, zap.NewNop())
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	ended := make(chan error, 1)
	go func() { ended <- a.Run(ctx) }()
	conn, err := grpc.NewClient(a.GRPC(), grpc.WithTransportCredentials(insecure.NewCredentials()))
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = conn.Close() }()
	s, err := ripwrightv1.NewRipServiceClient(conn).RunLine(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	say := func(text string) *ripwrightv1.RunLineResponse {
		t.Helper()
		m := &ripwrightv1.RunLineRequest{}
		if err := protojson.Unmarshal([]byte(text), m); err != nil {
			t.Fatal(err)
		}
		if err := s.Send(m); err != nil {
			t.Fatal(err)
		}
		r, err := s.Recv()
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	say(`{"sequence": 1, "set_up": {"run_id": "r", "saw_name": "plover", "order": {"items": [{"item_id": "a", "width_mm": 60, "value": 1}]}}}`)
	stop()
	if r := say(`{"sequence": 2, "board": {"board": {"length_mm": 2000, "stations": [{"far_mm": 200}]}}}`); r.GetPlan() == nil {
		t.Errorf("while draining: %v", r)
	}
	if _, err := s.Recv(); status.Code(err) != codes.Unavailable {
		t.Errorf("the line ended with %v", err)
	}
	if err := <-ended; err != nil {
		t.Errorf("the drain ended with %v", err)
	}
}
