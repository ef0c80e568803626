package app

import (
	"context"
	"testing"
	"time"

	"go.uber.org/zap"
	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/credentials/insecure"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/memory"
	"github.com/ripwright/ripwright/server/service"
)

// If others hold all the room there is, boards, tallies and lines are told to try again,
// or elsewhere; all that they held is free once they have ended.
func TestRoom(t *testing.T) {
	room := memory.NewRoom(1000) // too little for any call
	a, err := New(Config{GRPC: "127.0.0.1:0", HTTP: "127.0.0.1:0", Drain: 5 * time.Second, Room: room,
		Service: service.Config{Solves: 1, Longest: time.Second}}, zap.NewNop())
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- a.Run(ctx) }()
	conn, err := grpc.NewClient(a.GRPC(), grpc.WithTransportCredentials(insecure.NewCredentials()))
	if err != nil {
		t.Fatal(err)
	}
	call := func() []error {
		b, p, l := &ripwrightv1.SolveBoardRequest{}, &ripwrightv1.TallyPackRequest{}, &ripwrightv1.RunLineRequest{}
		for text, m := range map[string]proto.Message{
			`{"saw_name":"heron",` + wood + `,` + one + `}`:                                                         b,
			`{"packs":[{"pack_id":"p","species":"white oak","nominal_thickness_in":1,"tally":{"board_feet":100}}]}`: p,
			`{"sequence":1,"set_up":{"run_id":"r","saw_name":"heron","boards_in_flight":1,` + one + `}}`:            l,
		} {
			if err := protojson.Unmarshal([]byte(text), m); err != nil {
				t.Fatal(err)
			}
		}
		_, boards := ripwrightv1.NewRipServiceClient(conn).SolveBoard(t.Context(), b)
		_, packs := ripwrightv1.NewTallyServiceClient(conn).TallyPack(t.Context(), p)
		s, err := ripwrightv1.NewRipServiceClient(conn).RunLine(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		if err := s.Send(l); err != nil {
			t.Fatal(err)
		}
		_, lines := s.Recv()
		if lines == nil {
			_ = s.CloseSend() // the next call reports it
			_, _ = s.Recv()
		}
		return []error{boards, packs, lines}
	}
	codesOf := func() (all [3]codes.Code) {
		for i, err := range call() {
			all[i] = status.Code(err)
		}
		return all
	}
	other := room.Open("another")
	if !other.Take(1000) {
		t.Fatal("there is no room")
	}
	if got := codesOf(); got != [3]codes.Code{codes.ResourceExhausted, codes.ResourceExhausted, codes.Unavailable} {
		t.Errorf("without room: %v", got)
	}
	other.Close()
	// What a call held may be freed slightly after its answer has come.
	got := codesOf()
	for end := time.Now().Add(10 * time.Second); got != [3]codes.Code{} && time.Now().Before(end); got = codesOf() {
		time.Sleep(10 * time.Millisecond)
	}
	if got != [3]codes.Code{} {
		t.Errorf("with room: %v", got)
	}
	_ = conn.Close()
	stop()
	if err := <-ended; err != nil {
		t.Error(err)
	}
	if n := room.Held(); n != 0 {
		t.Errorf("%d bytes are still held", n)
	}
}
