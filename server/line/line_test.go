package line

import (
	"context"
	"encoding/binary"
	"encoding/json"
	"hash/crc32"
	"net"
	"strings"
	"testing"
	"time"

	"github.com/prometheus/client_golang/prometheus/testutil"
	"go.uber.org/goleak"
	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/credentials/insecure"
	"google.golang.org/grpc/status"
	"google.golang.org/grpc/test/bufconn"
	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/fleet"
	"github.com/ripwright/ripwright/server/metrics"
	"github.com/ripwright/ripwright/server/refuse"
	"github.com/ripwright/ripwright/server/service"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/rip"
)

func TestMain(m *testing.M) { goleak.VerifyTestMain(m) }

// house is a server of lines and a client.
type house struct {
	*Server
	*metrics.Metrics
	client ripwrightv1.RipServiceClient
	close  context.CancelFunc // has its streams end
}

func open(t *testing.T, spoil func(*Config)) *house {
	t.Helper()
	saws, err := fleet.BuiltIn()
	if err != nil {
		t.Fatal(err)
	}
	m := metrics.New(time.Now)
	boards := service.New(saws, service.Config{Solves: 2, Waiting: 8, Longest: 10 * time.Second}, m, time.Now)
	cfg := Config{Saws: saws, Solver: boards, Watch: m, Now: time.Now}
	h := &house{Metrics: m}
	cfg.Closing, h.close = context.WithCancel(context.Background())
	if spoil != nil {
		spoil(&cfg)
	}
	h.Server = New(cfg)
	pipe := bufconn.Listen(1 << 20)
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
		<-served
	})
	return h
}

// stream is one to talk on.
type stream struct {
	t *testing.T
	grpc.BidiStreamingClient[ripwrightv1.RunLineRequest, ripwrightv1.RunLineResponse]
	next int32
}

func (h *house) stream(t *testing.T) *stream {
	t.Helper()
	s, err := h.client.RunLine(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	return &stream{t, s, 1}
}

// say sends a message, without its sequence, and gives the answer.
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

// On heron a board 240 mm wide and 2.4 m long gives two strips of 66.6 mm, as in
// the README.
const (
	items  = `{"order_id": "o1", "items": [{"item_id": "stile", "width_mm": 66.6, "value": 14, "required": {"length_m": 120}, "made": {"length_m": 31.5}, "stack": "1"}]}`
	setUp  = `{"set_up": {"run_id": "r1", "saw_name": "heron", "boards_in_flight": 2, "order": ` + items + `}}`
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

// A run from set-up to summary, its sums worked out by hand.
func TestRun(t *testing.T) {
	h := open(t, nil)
	s := h.stream(t)
	a := s.say(setUp)
	if a.GetReady().GetSawFingerprint() == "" || a.GetReady().GetBoardsInFlight() != 2 {
		t.Fatal(a)
	}
	fill(t, "at first", a, 31.5, 0, 88.5)
	a = s.say(board)
	if p := a.GetPlan(); p.GetSawFingerprint() == "" || p.GetPlan().GetWorth() != 4.47552 || len(p.GetTargets()) != 3 || p.GetCycle() != nil {
		t.Fatal(a)
	}
	fill(t, "reserved", a, 31.5, 4.8, 83.7)
	// The next board's targets lead from where this one leaves the saw.
	before := a.GetPlan().GetTargets()
	a = s.say(board)
	for i, target := range a.GetPlan().GetTargets() {
		if target.GetFrom() != before[i].GetTo() {
			t.Errorf("from %v after %v", target, before[i])
		}
	}
	fill(t, "two under way", a, 31.5, 9.6, 78.9)
	a = s.say(board)
	if r := a.GetRefused(); r.GetReason() != ripwrightv1.LineRefusalReason_LINE_REFUSAL_REASON_BOARDS_IN_FLIGHT {
		t.Fatal(a)
	}
	a = s.say(asPlan + `2}}`)
	if !a.GetSettled().GetCounted() {
		t.Fatal(a)
	}
	fill(t, "one cut", a, 36.3, 4.8, 78.9)
	if a = s.say(asPlan + `2}}`); a.GetSettled().GetCounted() {
		t.Error("counted twice")
	}
	fill(t, "said twice", a, 36.3, 4.8, 78.9)
	a = s.say(`{"confirmation": {"board_sequence": 3, "outcome": "CUT_OUTCOME_SENT_BACK"}}`)
	fill(t, "sent back", a, 36.3, 0, 83.7)
	a = s.say(`{"board": {"board": {"length_mm": 9000, "stations": [{"far_mm": 240}]}}}`)
	if r := a.GetRefused(); r.GetReason() != ripwrightv1.LineRefusalReason_LINE_REFUSAL_REASON_INVALID || r.GetFaults()[0].GetPath() != "board.board.length_mm" {
		t.Fatal(a)
	}
	sum := s.say(`{"end": {}}`).GetSummary()
	if sum.GetPlanned() != 2 || sum.GetRefused() != 2 || sum.GetUnconfirmed() != 0 {
		t.Errorf("boards: %v", sum)
	}
	// 2 strips of 2.4 m: 4.8 m = 15.748 ft, 0.0666 x 4.8 = 0.31968 m2.
	i := sum.GetItems()[0]
	if len(sum.GetItems()) != 1 || i.GetStrips() != 2 || i.GetLengthM() != 4.8 || i.GetLengthFt() != i.GetLengthM()/0.3048 || i.GetAreaM2() != 0.31968 || i.GetStack() != "1" {
		t.Errorf("items: %v", sum.GetItems())
	}
	// Face (240 + 228) / 2 x 2400 mm2 = 0.5616 m2, and the board feet as in the README.
	acc := sum.GetAccount()
	if acc.GetFaceM2() != 0.5616 || acc.GetYield() != 0.31968/0.5616 || sum.GetPacks()[0].GetPackId() != "p" {
		t.Errorf("account: %v", acc)
	}
	if bf := acc.GetBoardFeet() / 6.045012090024179; bf < 1-1e-12 || bf > 1+1e-12 {
		t.Errorf("%g board feet", acc.GetBoardFeet())
	}
	if _, err := s.Recv(); err == nil || err.Error() != "EOF" {
		t.Errorf("after the summary: %v", err)
	}
}

// Another order or saw is in force with the next board; what is wrong changes
// nothing.
func TestChanges(t *testing.T) {
	s := open(t, nil).stream(t)
	first := s.say(setUp)
	s.say(board)
	if a := s.say(`{"order": {"order_id": "o2", "items": [{"item_id": "x", "width_mm": -1}]}}`); a.GetRefused().GetFaults()[0].GetPath() != "order.items[0].width_mm" || len(a.GetFills()) != 1 {
		t.Errorf("a wrong order: %v", a)
	}
	// Without made the run's own goes on; what is under way stays reserved.
	a := s.say(`{"order": ` + strings.Replace(items, `"made": {"length_m": 31.5}, `, ``, 1) + `}`)
	fill(t, "the same order", a, 31.5, 4.8, 83.7)
	a = s.say(`{"order": {"order_id": "o2", "items": [{"item_id": "rail", "width_mm": 50, "value": 1}]}}`)
	if a.GetReady() == nil || a.GetFills()[0].GetItemId() != "rail" {
		t.Fatal(a)
	}
	a = s.say(board)
	for _, k := range a.GetPlan().GetPlan().GetPockets() {
		if k.GetItemId() == "stile" {
			t.Error("planned for the order before")
		}
	}
	if a := s.say(`{"saw": {"saw_name": "wren"}}`); a.GetRefused().GetReason() != ripwrightv1.LineRefusalReason_LINE_REFUSAL_REASON_UNKNOWN_SAW {
		t.Errorf("an unknown saw: %v", a)
	}
	s.say(asPlan + `2}}`)
	a = s.say(`{"saw": {"saw_name": "plover"}}`)
	if a.GetReady().GetSawFingerprint() == first.GetReady().GetSawFingerprint() || len(a.GetReady().GetUnconfirmed()) != 1 {
		t.Fatal(a)
	}
	plan := s.say(board).GetPlan()
	if plan.GetSawFingerprint() != a.GetReady().GetSawFingerprint() || len(plan.GetTargets()) != 1 {
		t.Errorf("on the other saw: %v", plan)
	}
	a = s.say(`{"order": ` + items + `}`) // made is said
	fill(t, "back with made", a, 31.5, 0, 88.5)
}

// busy is a solver without a free place, late one that is never in time.
type solver struct{ err error }

func (s solver) Live(context.Context, *wire.Job, time.Time, time.Duration) (*rip.Result, time.Duration, time.Duration, error) {
	return nil, 0, 0, s.err
}

// A board that gets no turn is refused in its place, and the stream lives on.
func TestNoTurn(t *testing.T) {
	s := open(t, nil).stream(t)
	s.say(setUp)
	late := strings.Replace(board, `{"board": {`, `{"board": {"answer_within_ms": 1e-6, `, 1)
	if a := s.say(late); a.GetRefused().GetReason() != ripwrightv1.LineRefusalReason_LINE_REFUSAL_REASON_TOO_LATE {
		t.Fatal(a)
	}
	if a := s.say(board); a.GetPlan() == nil {
		t.Fatal(a)
	}
	s = open(t, func(c *Config) { c.Solver = solver{refuse.Busy(time.Second)} }).stream(t)
	s.say(setUp)
	if a := s.say(board); a.GetRefused().GetReason() != ripwrightv1.LineRefusalReason_LINE_REFUSAL_REASON_BUSY {
		t.Fatal(a)
	}
	fill(t, "after it", s.say(`{"order": `+items+`}`), 31.5, 0, 88.5)
}

// A server that drains ends its streams, and another takes them up as they stood.
func TestDraining(t *testing.T) {
	h := open(t, nil)
	s := h.stream(t)
	s.say(setUp)
	a := s.say(board)
	h.close()
	if _, err := s.Recv(); status.Code(err) != codes.Unavailable {
		t.Fatalf("drained with %v", err)
	}
	s = open(t, nil).stream(t)
	b := s.resume(a.GetState())
	if len(b.GetReady().GetUnconfirmed()) != 1 || b.GetSequence() != 2 || string(b.GetState()) != string(a.GetState()) {
		t.Fatal(b)
	}
	fill(t, "taken up", b, 31.5, 4.8, 83.7)
	fill(t, "confirmed there", s.say(asPlan+`2}}`), 36.3, 0, 83.7)
}

// Metrics count a confirmation once, also where a stream broke before its answer
// came and it is confirmed again from the state before; so they do one by
// ConfirmCut.
func TestCountedOnce(t *testing.T) {
	h := open(t, nil)
	s := h.stream(t)
	s.say(setUp)
	a := s.say(board)
	for range 3 {
		s := h.stream(t)
		s.resume(a.GetState())
		fill(t, "again", s.say(asPlan+`2}}`), 36.3, 0, 83.7)
	}
	req := &ripwrightv1.ConfirmCutRequest{}
	if err := protojson.Unmarshal([]byte(strings.TrimSuffix(strings.TrimPrefix(board, `{"board": `), `}}`)+`, "saw_name": "heron",
		"confirmation_id": "c1", "outcome": "CUT_OUTCOME_AS_PLANNED", "order": `+items+`,
		"strips": [{"item_id": "stile", "width_mm": 66.6, "runs_mm": [2400]}]}`), req); err != nil {
		t.Fatal(err)
	}
	var first *ripwrightv1.ConfirmCutResponse
	for i := range 3 {
		r, err := h.client.ConfirmCut(t.Context(), req)
		if err != nil {
			t.Fatal(err)
		}
		if r.GetCountedBefore() != (i > 0) || r.GetFills()[0].GetMadeAfter().GetLengthM() != 33.9 {
			t.Errorf("time %d: %v", i, r)
		}
		r.CountedBefore = false
		if first == nil {
			first = r
		} else if !proto.Equal(first, r) {
			t.Errorf("%v\nthen %v", first, r)
		}
	}
	const want = `
# HELP ripwright_boards_cut_total Boards whose cut was confirmed, by saw and outcome: as_planned, as_measured, not_cut, runner_up, something_else or sent_back.
# TYPE ripwright_boards_cut_total counter
ripwright_boards_cut_total{outcome="as_planned",saw="heron"} 2
# HELP ripwright_cut_strip_length_meters_total Length of strips that were cut, by order and item; only of orders seen lately, the rest under other.
# TYPE ripwright_cut_strip_length_meters_total counter
ripwright_cut_strip_length_meters_total{item="other",order=""} 0
ripwright_cut_strip_length_meters_total{item="stile",order="o1"} 7.199999999999999
# HELP ripwright_order_made_length_meters What is made: confirmed on a live line, else as last sent, for items counted in length.
# TYPE ripwright_order_made_length_meters gauge
ripwright_order_made_length_meters{item="stile",order="o1"} 36.3
`
	if err := testutil.GatherAndCompare(h.Registry, strings.NewReader(want),
		"ripwright_boards_cut_total", "ripwright_cut_strip_length_meters_total", "ripwright_order_made_length_meters"); err != nil {
		t.Error(err)
	}
}

// A state of another layout, or one that does not hold together, is not taken up.
func TestWrongStates(t *testing.T) {
	h := open(t, nil)
	s := h.stream(t)
	s.say(setUp)
	good := s.say(board).GetState()
	for what, c := range map[string]struct {
		spoil func(*kept)
		code  codes.Code
	}{
		"another layout":  {func(k *kept) { k.Layout++ }, codes.FailedPrecondition},
		"no run":          {func(k *kept) { k.Run = nil }, codes.InvalidArgument},
		"no set-up":       {func(k *kept) { k.SetUp = nil }, codes.InvalidArgument},
		"another order":   {func(k *kept) { k.Run.Order = "x" }, codes.InvalidArgument},
		"less made":       {func(k *kept) { k.Run.Entries[0].Made = -1 }, codes.InvalidArgument},
		"an item less":    {func(k *kept) { k.Run.Entries, k.Run.Held = nil, nil }, codes.InvalidArgument},
		"backward travel": {func(k *kept) { k.Run.Held[0].Ways[0].Blades[2].Travel = -1 }, codes.InvalidArgument},
	} {
		var k kept
		if err := json.Unmarshal(good[4:], &k); err != nil {
			t.Fatal(err)
		}
		c.spoil(&k)
		s := h.stream(t)
		if err := s.Send(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Resume{
			Resume: &ripwrightv1.LineResume{State: sealed(t, k)}}}); err != nil {
			t.Fatal(err)
		}
		if _, err := s.Recv(); status.Code(err) != c.code {
			t.Errorf("%s: %v", what, err)
		}
	}
}

func sealed(t testing.TB, k kept) []byte {
	t.Helper()
	text, err := json.Marshal(k)
	if err != nil {
		t.Fatal(err)
	}
	return append(binary.BigEndian.AppendUint32(nil, crc32.ChecksumIEEE(text)), text...)
}

// What is remembered is bounded: the oldest name goes first.
func TestOnce(t *testing.T) {
	o := newOnce(2)
	for i, c := range []struct {
		name  string
		first bool
	}{{"a", true}, {"a", false}, {"b", true}, {"a", false}, {"c", true}, {"b", false}, {"a", true}, {"c", false}} {
		if got := o.first(c.name); got != c.first {
			t.Errorf("%d: %s is new: %t", i, c.name, got)
		}
	}
}
