package line

import (
	"context"
	"net"
	"testing"
	"time"

	"go.uber.org/goleak"
	"google.golang.org/grpc"
	"google.golang.org/grpc/credentials/insecure"
	"google.golang.org/grpc/test/bufconn"
	"google.golang.org/protobuf/encoding/protojson"

	"github.com/ripwright/ripwright/proto/codec"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/fleet"
	"github.com/ripwright/ripwright/server/metrics"
	"github.com/ripwright/ripwright/server/planning"
	"github.com/ripwright/ripwright/server/service"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/server/workers"
)

func TestMain(m *testing.M) { goleak.VerifyTestMain(m) }

// house is a server of lines and a client.
type house struct {
	*Server
	*metrics.Metrics
	client ripwrightv1.RipServiceClient
	close  context.CancelFunc // ends its streams
}

func open(t testing.TB, spoil func(*Config)) *house {
	t.Helper()
	saws, err := fleet.BuiltIn()
	if err != nil {
		t.Fatal(err)
	}
	m := metrics.New(time.Now)
	boards := service.New(saws, service.Config{Solves: 2, Waiting: 8, Longest: 10 * time.Second}, m, time.Now)
	cfg := Config{Saws: saws, Solver: boards, Watch: m, Now: time.Now, Planner: behind(saws, m)}
	h := &house{Metrics: m}
	cfg.Closing, h.close = context.WithCancel(context.Background())
	if spoil != nil {
		spoil(&cfg)
	}
	h.Server = New(cfg)
	pipe := bufconn.Listen(1 << 20)
	codec.Register()
	rpc := grpc.NewServer()
	ripwrightv1.RegisterRipServiceServer(rpc, struct {
		*service.Service
		*Server
	}{boards, h.Server})
	served := make(chan error, 1)
	go func() { served <- rpc.Serve(pipe) }()
	conn, err := grpc.NewClient("passthrough:///line", grpc.WithTransportCredentials(insecure.NewCredentials()),
		grpc.WithContextDialer(func(ctx context.Context, _ string) (net.Conn, error) { return pipe.DialContext(ctx) }))
	if err != nil {
		t.Fatal(err)
	}
	h.client = ripwrightv1.NewRipServiceClient(conn)
	t.Cleanup(func() {
		h.close()
		_ = conn.Close()
		rpc.GracefulStop()
		if err := <-served; err != nil {
			t.Error(err)
		}
	})
	return h
}

// behind plans values as the service does, however busy the machine is.
func behind(saws wire.Saws, m *metrics.Metrics) Planner {
	desk := workers.New(workers.Config{Waiting: 16}, workers.Unwatched{}, time.Now)
	return planning.New(saws, planning.Config{Workers: desk, Longest: time.Hour, OfLine: time.Hour, Watch: m.Plans}, time.Now)
}

// stream is a line with its sequence.
type stream struct {
	t testing.TB
	grpc.BidiStreamingClient[ripwrightv1.RunLineRequest, ripwrightv1.RunLineResponse]
	next int32
}

func (h *house) stream(t testing.TB) *stream {
	t.Helper()
	s, err := h.client.RunLine(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	return &stream{t, s, 1}
}

// say sends a message, adds its sequence, and returns the answer.
func (s *stream) say(text string) *ripwrightv1.RunLineResponse {
	s.t.Helper()
	m := &ripwrightv1.RunLineRequest{}
	if err := protojson.Unmarshal([]byte(text), m); err != nil {
		s.t.Fatal(err)
	}
	return s.send(m)
}

func (s *stream) send(m *ripwrightv1.RunLineRequest) *ripwrightv1.RunLineResponse {
	s.t.Helper()
	if m.GetResume() == nil {
		m.Sequence = s.next
	}
	if err := s.Send(m); err != nil {
		s.t.Fatal(err)
	}
	a, err := s.Recv()
	if err != nil {
		s.t.Fatal(err)
	}
	s.next = a.GetSequence() + 1
	return a
}

func (s *stream) resume(state []byte) *ripwrightv1.RunLineResponse {
	s.t.Helper()
	return s.send(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Resume{Resume: &ripwrightv1.LineResume{State: state}}})
}

// On heron a board 240 mm wide and 2.4 m long gives two strips of 66.6 mm, as in the
// README.
const (
	items  = `{"order_id": "o1", "items": [{"item_id": "stile", "width_mm": 66.6, "value": 14, "required": {"length_m": 120}, "made": {"length_m": 31.5}, "stack": "1"}]}`
	every  = `"options": {"detail": {"fills": "ITEM_DETAIL_ALL", "values": "ITEM_DETAIL_ALL"}}`
	setUp  = `{"set_up": {"run_id": "r1", "saw_name": "heron", "boards_in_flight": 2, ` + every + `, "order": ` + items + `}}`
	board  = `{"board": {"board": {"board_id": "b", "pack_id": "p", "length_mm": 2400, "thickness_mm": 25.4, "stations": [{"near_mm": 0, "far_mm": 240}, {"x_mm": 2400, "near_mm": 4, "far_mm": 232}]}}}`
	asPlan = `{"confirmation": {"outcome": "CUT_OUTCOME_AS_PLANNED", "board_sequence": `
)

// fill checks the first fill, in metres.
func fill(t *testing.T, what string, a *ripwrightv1.RunLineResponse, made, reserved, open float64) {
	t.Helper()
	f := a.GetFills()[0]
	if f.GetMade().GetLengthM() != made || f.GetReserved().GetLengthM() != reserved || f.GetOpen().GetLengthM() != open {
		t.Errorf("%s: %v, want made %g, reserved %g, open %g", what, f, made, reserved, open)
	}
}

// ready is the part of an answer that says from where the run continues.
func ready(a *ripwrightv1.RunLineResponse) *ripwrightv1.LineReady {
	for _, r := range []*ripwrightv1.LineReady{a.GetStarted().GetReady(), a.GetResumed().GetReady(),
		a.GetOrderChanged().GetReady(), a.GetSawChanged().GetReady(), a.GetOrdersWaiting().GetReady()} {
		if r != nil {
			return r
		}
	}
	return nil
}

// counted reports whether a confirmation was counted.
func counted(a *ripwrightv1.RunLineResponse) bool {
	return a.GetSettled().GetResult() == ripwrightv1.ConfirmationResult_CONFIRMATION_RESULT_COUNTED
}
