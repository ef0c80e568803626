package app

import (
	"context"
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"go.uber.org/zap"
	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/credentials/insecure"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/service"
	"github.com/ripwright/ripwright/server/workers"
)

// full runs a server whose queue of boards is full, as it has no slot for any, and whose
// one worker is busy with a long quote until the test ends.
func full(t *testing.T) (*App, *grpc.ClientConn) {
	t.Helper()
	a, err := New(Config{GRPC: "127.0.0.1:0", HTTP: "127.0.0.1:0", Drain: 5 * time.Second,
		Service: service.Config{Longest: time.Second}, Workers: workers.Config{Workers: 1}}, zap.NewNop())
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
	long, leave := context.WithCancel(t.Context())
	left := make(chan struct{})
	go func() {
		defer close(left)
		m := &ripwrightv1.QuoteOrderRequest{}
		if err := protojson.Unmarshal([]byte(`{`+lumber+`,"saw_name":"heron","simulations":1000,"compare":["VALUE_CHOICE_YIELD"],"order":{"items":[
			{"item_id":"a","width_mm":60,"value":1,"required":{"length_m":90000}},{"item_id":"b","width_mm":50,"value":1,"required":{"length_m":90000}}]}}`), m); err != nil {
			t.Error(err)
		}
		_, err := ripwrightv1.NewPlanningServiceClient(conn).QuoteOrder(long, m)
		if status.Code(err) != codes.Canceled {
			t.Errorf("the quote that keeps the worker: %v", err)
		}
	}()
	t.Cleanup(func() {
		leave()
		<-left
		_ = conn.Close()
		http.DefaultClient.CloseIdleConnections()
		stop()
		if err := <-ended; err != nil {
			t.Error(err)
		}
	})
	for !strings.Contains(shows(t, a, "/metrics"), `ripwright_plans_running{call="QuoteOrder"} 1`) {
		select {
		case <-left:
			t.Fatal("the quote has ended")
		case <-time.After(time.Millisecond):
		}
	}
	return a, conn
}

const (
	lumber = `"lumber":{"sample_boards":2000,"lots":[{"lot_id":"l","spread":{"mean_width_mm":200,"width_sd_mm":50,
		"min_width_mm":90,"max_width_mm":400,"taper_mm":20,"lengths":[{"length_mm":3000,"share":1}]}}]}`
	wide = `"lumber":{"lots":[{"lot_id":"l","tagged":{"rows":[{"width_mm":900,"length_mm":2000,"count":1}]}}]}`
	// Boards on which the lengths combine in few ways, and others with too many ways.
	short   = `"lumber":{"lots":[{"lot_id":"l","tagged":{"rows":[{"width_mm":200,"length_mm":2000,"count":1}]}}]}`
	long    = `"lumber":{"lots":[{"lot_id":"l","tagged":{"rows":[{"width_mm":200,"length_mm":2000,"count":9},{"width_mm":200,"length_mm":20000,"count":1}]}}]}`
	spacers = `"spacers":{"increment_mm":10,"min_mm":0,"max_mm":500}`
	// A blade at the place of another, which only the solver detects.
	crossed = `"saw":{"kerf_mm":3,"step_mm":0.1,"fence":{"min_mm":0,"max_mm":100},"min_gap_mm":20,"min_strip_width_mm":20,
		"blades":[{"fixed_mm":100},{"fixed_mm":90}]}`
	wood = `"board":{"length_mm":2000,"stations":[{"far_mm":200}]}`
	void = `"board":{"length_mm":2000,"stations":[{"far_mm":0}]}` // no wood, which only the solver detects
	one  = `"order":{"items":[{"item_id":"a","width_mm":60,"value":1,"required":{"length_m":100}}]}`
	thin = `"order":{"items":[{"item_id":"a","width_mm":1,"value":1,"required":{"length_m":100}}]}` // for heron
)

// A faulty request is refused by its fields whether the queue is full or empty; a valid
// one is told to try again later.
func TestInputFirst(t *testing.T) {
	a, conn := full(t)
	for _, c := range []struct {
		path, method      string
		wrong, field      string
		right             string
		request, response proto.Message
	}{
		{"/v1/boards:solve", "RipService/SolveBoard", `{"saw_name":"heron",` + void + `,` + one + `}`, "board.stations",
			`{"saw_name":"heron",` + wood + `,` + one + `}`, &ripwrightv1.SolveBoardRequest{}, &ripwrightv1.SolveBoardResponse{}},
		{"/v1/boards:solve", "RipService/SolveBoard", `{` + plain + `,"board":{"length_mm":20000,"stations":[{"far_mm":200}]},` + many() + `}`, "order.items[0].crosscut.lengths",
			`{` + plain + `,` + wood + `,` + many() + `}`, &ripwrightv1.SolveBoardRequest{}, &ripwrightv1.SolveBoardResponse{}},
		{"/v1/boards:check", "RipService/CheckPlan", `{` + crossed + `,` + wood + `,` + one + `,"setting":{"fence_mm":0,"blades_mm":[100,90]}}`, "saw.blades[1].fixed_mm",
			`{"saw_name":"heron",` + wood + `,` + one + `,"setting":{"fence_mm":0,"blades_mm":[150,220.4,290.6,360.8]}}`, &ripwrightv1.CheckPlanRequest{}, &ripwrightv1.CheckPlanResponse{}},
		{"/v1/boards:draw", "RipService/DrawPlan", `{"saw_name":"heron",` + wood + `,` + thin + `}`, "order.items[0].width_mm",
			`{"saw_name":"heron",` + wood + `,` + one + `}`, &ripwrightv1.DrawPlanRequest{}, &ripwrightv1.DrawPlanResponse{}},
		{"/v1/orders:quote", "PlanningService/QuoteOrder", `{"saw_name":"heron",` + lumber + `,` + thin + `}`, "order.items[0].width_mm",
			`{"saw_name":"heron",` + lumber + `,` + one + `}`, &ripwrightv1.QuoteOrderRequest{}, &ripwrightv1.QuoteOrderResponse{}},
		{"/v1/orders:planValues", "PlanningService/PlanValues", `{` + crossed + `,` + lumber + `,` + one + `}`, "saw.blades[1].fixed_mm",
			`{"saw_name":"heron",` + lumber + `,` + one + `}`, &ripwrightv1.PlanValuesRequest{}, &ripwrightv1.PlanValuesResponse{}},
		{"/v1/orders:planValues", "PlanningService/PlanValues", `{` + fine + `,` + wide + `,` + one + `}`, "saw.step_mm",
			`{"saw_name":"heron",` + lumber + `,` + one + `}`, &ripwrightv1.PlanValuesRequest{}, &ripwrightv1.PlanValuesResponse{}},
		{"/v1/orders:planValues", "PlanningService/PlanValues", `{` + plain + `,` + long + `,` + many() + `}`, "order.items[0].crosscut.lengths",
			`{` + plain + `,` + short + `,` + many() + `}`, &ripwrightv1.PlanValuesRequest{}, &ripwrightv1.PlanValuesResponse{}},
		{"/v1/orders:quote", "PlanningService/QuoteOrder", `{` + plain + `,` + long + `,` + many() + `}`, "order.items[0].crosscut.lengths",
			`{` + plain + `,` + short + `,` + many() + `}`, &ripwrightv1.QuoteOrderRequest{}, &ripwrightv1.QuoteOrderResponse{}},
		{"/v1/arbors:plan", "PlanningService/PlanArbor", `{` + plain + `,` + long + `,"orders":[{` + one + `},{` + many() + `}],` + spacers + `}`, "orders[1].order.items[0].crosscut.lengths",
			`{` + plain + `,` + short + `,"orders":[{` + one + `},{` + many() + `}],` + spacers + `}`, &ripwrightv1.PlanArborRequest{}, &ripwrightv1.PlanArborResponse{}},
		{"/v1/arbors:plan", "PlanningService/PlanArbor", `{"saw_name":"heron",` + lumber + `,"orders":[{` + one + `}],"spacers":{"increment_mm":10,"min_mm":0,"max_mm":5}}`, "spacers.max_mm",
			`{"saw_name":"heron",` + lumber + `,"orders":[{` + one + `}],"spacers":{"increment_mm":10,"min_mm":0,"max_mm":500}}`, &ripwrightv1.PlanArborRequest{}, &ripwrightv1.PlanArborResponse{}},
		{"/v1/orders:sequence", "PlanningService/SequenceOrders", `{"change":{"per_blade_minutes":5},"jobs":[{"arbors":[{"fixed_mm":[100]}]}]}`, "jobs[0].order_id",
			`{"change":{"per_blade_minutes":5},"jobs":[{"order_id":"a","arbors":[{"fixed_mm":[100]}]}]}`, &ripwrightv1.SequenceOrdersRequest{}, &ripwrightv1.SequenceOrdersResponse{}},
		{"/v1/orders:share", "PlanningService/ShareOrder", `{"lines":[{"line_id":"l","saw_name":"heron","boards_per_hour":60}],` + thin + `}`, "order.items[0].width_mm",
			`{"lines":[{"line_id":"l","saw_name":"heron","boards_per_hour":60}],` + one + `}`, &ripwrightv1.ShareOrderRequest{}, &ripwrightv1.ShareOrderResponse{}},
		{"/v1/packs:tally", "TallyService/TallyPack", `{"packs":[{"pack_id":"p","species":"northern red oak","nominal_thickness_in":1}]}`, "packs[0]",
			`{"packs":[{"pack_id":"p","species":"northern red oak","nominal_thickness_in":1,"tally":{"board_feet":100}}]}`, &ripwrightv1.TallyPackRequest{}, &ripwrightv1.TallyPackResponse{}},
	} {
		t.Run(c.method, func(t *testing.T) {
			call := func(text string) error {
				if err := protojson.Unmarshal([]byte(text), c.request); err != nil {
					t.Fatal(err)
				}
				return conn.Invoke(t.Context(), "/ripwright.v1."+c.method, c.request, c.response)
			}
			if err := call(c.wrong); !names(err, c.field) {
				t.Errorf("gRPC, wrong: %v", err)
			}
			if err := call(c.right); status.Code(err) != codes.ResourceExhausted {
				t.Errorf("gRPC, right: %v", err)
			}
			if code, says := post(t, a, c.path, c.wrong); code != http.StatusBadRequest || !strings.Contains(says, `"field":"`+c.field+`"`) {
				t.Errorf("JSON, wrong: %d %s", code, says)
			}
			if code, says := post(t, a, c.path, c.right); code != http.StatusTooManyRequests {
				t.Errorf("JSON, right: %d %s", code, says)
			}
		})
	}
}

// A quote over a stream is refused just as soon.
func TestInputFirstWatched(t *testing.T) {
	_, conn := full(t)
	for field, text := range map[string]string{
		"quote.order.items[0].crosscut.lengths": `{"quote":{` + plain + `,` + long + `,` + many() + `}}`,
		"":                                      `{"quote":{` + plain + `,` + short + `,` + many() + `}}`,
	} {
		m := &ripwrightv1.WatchQuoteRequest{}
		if err := protojson.Unmarshal([]byte(text), m); err != nil {
			t.Fatal(err)
		}
		s, err := ripwrightv1.NewPlanningServiceClient(conn).WatchQuote(t.Context(), m)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := s.Recv(); field != "" && !names(err, field) || field == "" && status.Code(err) != codes.ResourceExhausted {
			t.Errorf("%q: %v", field, err)
		}
	}
}

// fine is a saw whose step is too fine for wide boards.
const fine = `"saw":{"kerf_mm":3,"step_mm":0.01,"fence":{"min_mm":0,"max_mm":100},"min_gap_mm":20,"min_strip_width_mm":20,
	"blades":[` + fiveMoving + `,` + fiveMoving + `,` + fiveMoving + `,` + fiveMoving + `,` + fiveMoving + `,` + fiveMoving + `]}`

const (
	moving     = `{"moving":{"min_mm":0,"max_mm":5000}}`
	fiveMoving = moving + `,` + moving + `,` + moving + `,` + moving + `,` + moving
)

func names(err error, field string) bool {
	s := status.Convert(err)
	if s.Code() != codes.InvalidArgument {
		return false
	}
	for _, d := range s.Details() {
		if b, ok := d.(*errdetails.BadRequest); ok {
			for _, f := range b.GetFieldViolations() {
				if f.GetField() == field {
					return true
				}
			}
		}
	}
	return false
}

// On a line a faulty board is refused for its fault even if the queue is full or too many
// boards are under way.
func TestInputFirstOnLine(t *testing.T) {
	for _, c := range []struct {
		name   string
		before string // a board that waits for its confirmation; empty: none
		right  ripwrightv1.LineRefusalReason
	}{
		{"full queue", "", ripwrightv1.LineRefusalReason_LINE_REFUSAL_REASON_BUSY},
		{"boards under way", `{"sequence":2,"board":{` + wood + `}}`, ripwrightv1.LineRefusalReason_LINE_REFUSAL_REASON_BOARDS_IN_FLIGHT},
	} {
		t.Run(c.name, func(t *testing.T) {
			var client ripwrightv1.RipServiceClient
			if c.before == "" {
				_, conn := full(t)
				client = ripwrightv1.NewRipServiceClient(conn)
			} else {
				_, client, _ = start(t)
			}
			s, err := client.RunLine(t.Context())
			if err != nil {
				t.Fatal(err)
			}
			n := int32(0)
			say := func(text string) *ripwrightv1.RunLineResponse {
				t.Helper()
				m := &ripwrightv1.RunLineRequest{}
				if err := protojson.Unmarshal([]byte(text), m); err != nil {
					t.Fatal(err)
				}
				n++
				m.Sequence = n
				if err := s.Send(m); err != nil {
					t.Fatal(err)
				}
				r, err := s.Recv()
				if err != nil {
					t.Fatal(err)
				}
				return r
			}
			say(`{"set_up":{"run_id":"r","saw_name":"heron","boards_in_flight":1,` + one + `}}`)
			if c.before != "" && say(c.before).GetPlan() == nil {
				t.Fatal("the first board is not planned")
			}
			r := say(`{"board":{` + void + `}}`).GetRefused()
			if r.GetReason() != ripwrightv1.LineRefusalReason_LINE_REFUSAL_REASON_INVALID || len(r.GetFaults()) != 1 || r.GetFaults()[0].GetPath() != "board.board.stations" {
				t.Errorf("a wrong board: %v", r)
			}
			if r := say(`{"board":{` + wood + `}}`).GetRefused(); r.GetReason() != c.right {
				t.Errorf("a right board: %v", r)
			}
			if err := s.CloseSend(); err != nil {
				t.Fatal(err)
			}
			if _, err := s.Recv(); err == nil {
				t.Error("the line goes on")
			}
		})
	}
}

// plain is a saw for long boards.
const plain = `"saw":{"kerf_mm":3,"step_mm":1,"fence":{"min_mm":0,"max_mm":100},"min_gap_mm":20,"min_strip_width_mm":20,
	"blades":[{"fixed_mm":100},{"fixed_mm":163}]}`

// many is an order whose lengths combine in a few ways on a short board and in far more
// than are kept on a long one: no two sums are equal, and longer ones are worth more.
func many() string {
	var lengths []string
	for k := range 12 {
		l := 201.003 + 37*float64(k) + 0.01*float64(k*k*k%97)
		lengths = append(lengths, fmt.Sprintf(`{"length_mm":%.3f,"value":%.3f,"required":1000000}`, l, l+3))
	}
	return `"order":{"items":[{"item_id":"a","width_mm":60,"crosscut":{"kerf_mm":3,"lengths":[` + strings.Join(lengths, ",") + `]}}]}`
}
