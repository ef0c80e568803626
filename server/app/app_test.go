package app

import (
	"bytes"
	"context"
	"io"
	"net/http"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/prometheus/client_golang/prometheus/testutil/promlint"
	"go.uber.org/zap"
	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/credentials/insecure"
	"google.golang.org/grpc/health/grpc_health_v1"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/service"
)

// start runs a server on loopback for one test and checks that it ends cleanly, with no
// goroutine left behind.
func start(t *testing.T) (*App, ripwrightv1.RipServiceClient, *grpc.ClientConn) {
	t.Helper()
	before := runtime.NumGoroutine()
	a, err := New(Config{GRPC: "127.0.0.1:0", HTTP: "127.0.0.1:0", Drain: 5 * time.Second,
		Service: service.Config{Solves: 2, Waiting: 16, Longest: 10 * time.Second}}, zap.NewNop())
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
	t.Cleanup(func() {
		_ = conn.Close()
		http.DefaultClient.CloseIdleConnections()
		stop()
		if err := <-ended; err != nil {
			t.Error(err)
		}
		for range 200 { // goroutines that are ending need a moment
			if runtime.NumGoroutine() <= before {
				return
			}
			time.Sleep(10 * time.Millisecond)
		}
		buf := make([]byte, 1<<16)
		t.Errorf("goroutines left behind:\n%s", buf[:runtime.Stack(buf, true)])
	})
	return a, ripwrightv1.NewRipServiceClient(conn), conn
}

func post(t *testing.T, a *App, path, body string) (int, string) {
	t.Helper()
	r, err := http.Post("http://"+a.HTTP()+path, "application/json", strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = r.Body.Close() }()
	b, err := io.ReadAll(r.Body)
	if err != nil {
		t.Fatal(err)
	}
	return r.StatusCode, string(b)
}

func get(t *testing.T, a *App, path string) (int, string) {
	t.Helper()
	r, err := http.Get("http://" + a.HTTP() + path)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = r.Body.Close() }()
	b, _ := io.ReadAll(r.Body)
	return r.StatusCode, string(b)
}

const good = `{"board":{"board_id":"b7","length_mm":2400,"thickness_mm":25.4,
 "stations":[{"x_mm":0,"near_mm":0,"far_mm":240},{"x_mm":2400,"near_mm":4,"far_mm":232}]},
 "saw_name":"plover","options":{"runners_up":2},
 "order":{"order_id":"o1","items":[
  {"item_id":"stile","width_mm":66.6,"value":14,"required":{"length_m":3},"made":{"length_m":1}},
  {"item_id":"panel","range":{"min_mm":40,"max_mm":80},"value":9,"required":{"area_m2":5}}]}}`

func TestJSONAndGRPCGiveTheSameAnswer(t *testing.T) {
	a, client, _ := start(t)
	code, body := post(t, a, "/v1/boards:solve", good)
	if code != http.StatusOK {
		t.Fatalf("%d %s", code, body)
	}
	var viaJSON ripwrightv1.SolveBoardResponse
	if err := protojson.Unmarshal([]byte(body), &viaJSON); err != nil {
		t.Fatal(err)
	}
	var req ripwrightv1.SolveBoardRequest
	if err := protojson.Unmarshal([]byte(good), &req); err != nil {
		t.Fatal(err)
	}
	viaGRPC, err := client.SolveBoard(t.Context(), &req)
	if err != nil {
		t.Fatal(err)
	}
	viaJSON.SolveTimeUs, viaGRPC.SolveTimeUs = 0, 0
	if !proto.Equal(&viaJSON, viaGRPC) {
		t.Errorf("JSON %v\ngRPC %v", &viaJSON, viaGRPC)
	}
	if !viaGRPC.GetProof().GetProven() || viaGRPC.GetPlan().GetWorth() <= 0 || len(viaGRPC.GetRunnersUp()) != 2 {
		t.Errorf("answer %v", viaGRPC)
	}
	made := viaGRPC.GetFills()[0] // of the items that the plan makes
	if b, r, c := made.GetMade().GetAreaM2(), made.GetReserved().GetAreaM2(), made.GetMadeAfter().GetAreaM2(); r <= 0 || b+r != c {
		t.Errorf("fill %v", made)
	}

	// The planned setting breaks no rule and is at distance zero.
	check := &ripwrightv1.CheckPlanRequest{Board: req.GetBoard(), Order: req.GetOrder(),
		SawChoice: &ripwrightv1.CheckPlanRequest_SawName{SawName: "plover"},
		Setting:   viaGRPC.GetPlan().GetSetting()}
	c, err := client.CheckPlan(t.Context(), check)
	if err != nil {
		t.Fatal(err)
	}
	if len(c.GetBrokenRules()) != 0 || c.GetDistance() != 0 || c.GetPlan().GetWorth() != viaGRPC.GetPlan().GetWorth() {
		t.Errorf("check of the plan: %v", c)
	}
	check.Setting.BladesMm[2] += 1
	if c, err = client.CheckPlan(t.Context(), check); err != nil || len(c.GetBrokenRules()) != 1 || c.GetBrokenRules()[0].GetPath() != "setting.blades_mm[2]" {
		t.Errorf("check of a moved fixed blade: %v %v", c.GetBrokenRules(), err)
	}
}

// Every mistake is reported by its field, the same over JSON and gRPC.
func TestMistakesAreNamed(t *testing.T) {
	a, client, _ := start(t)
	for _, c := range []struct {
		from, to, field string
	}{
		{`"length_mm":2400`, `"length_mm":-1`, "board.length_mm"},
		{`"length_mm":2400`, `"length_mm":"NaN"`, "board.length_mm"},
		{`"length_mm":2400`, `"length_mm":"Infinity"`, "board.length_mm"},
		{`"length_mm":2400`, `"length_mm":5001`, "board.length_mm"}, // longer than the saw takes
		{`"thickness_mm":25.4`, `"thickness_mm":81`, "board.thickness_mm"},
		{`"x_mm":2400`, `"x_mm":0`, "board.stations[1].x_mm"},
		{`"far_mm":232`, `"far_mm":2`, "board.stations[1].far_mm"},
		{`"near_mm":4`, `"near_mm":"NaN"`, "board.stations[1].near_mm"},
		{`"width_mm":66.6`, `"width_mm":0`, "order.items[0].width_mm"},
		{`"width_mm":66.6`, `"width_mm":9`, "order.items[0].width_mm"}, // below the smallest strip
		{`"min_mm":40`, `"min_mm":90`, "order.items[1].range.max_mm"},
		{`"value":14`, `"value":-14`, "order.items[0].value"},
		{`"item_id":"panel"`, `"item_id":"stile"`, "order.items[1].item_id"},
		{`"runners_up":2`, `"runners_up":-2`, "options.runners_up"},
	} {
		body := strings.Replace(good, c.from, c.to, 1)
		if body == good {
			t.Fatalf("%s is not in the request", c.from)
		}
		code, says := post(t, a, "/v1/boards:solve", body)
		if code != http.StatusBadRequest || !strings.Contains(says, `"field":"`+c.field+`"`) {
			t.Errorf("%s: JSON %d %s, want the field %s", c.to, code, says, c.field)
		}
		var req ripwrightv1.SolveBoardRequest
		if err := protojson.Unmarshal([]byte(body), &req); err != nil {
			t.Fatal(err)
		}
		_, err := client.SolveBoard(t.Context(), &req)
		s := status.Convert(err)
		named := false
		for _, d := range s.Details() {
			if b, ok := d.(*errdetails.BadRequest); ok {
				for _, v := range b.GetFieldViolations() {
					named = named || v.GetField() == c.field
				}
			}
		}
		if s.Code() != codes.InvalidArgument || !named {
			t.Errorf("%s: gRPC %v, want the field %s", c.to, err, c.field)
		}
	}
}

func TestWrongCalls(t *testing.T) {
	a, client, conn := start(t)
	for name, c := range map[string]struct {
		path, body string
		code       int
		says       string
	}{
		"misspelt field":     {"/v1/boards:solve", `{"bord":{}}`, 400, `"field":"bord"`},
		"truncated":          {"/v1/boards:solve", good[:50], 400, ""},
		"unknown saw":        {"/v1/boards:solve", strings.Replace(good, "plover", "egret", 1), 404, "egret"},
		"unknown path":       {"/v1/boards:weigh", good, 404, ""},
		"huge":               {"/v1/boards:solve", `{"x":"` + strings.Repeat("x", 5<<20) + `"}`, 413, "body"},
		"text after the end": {"/v1/boards:solve", good + " rubbish", 400, "continues after its end"},
		"wrong type":         {"/v1/boards:solve", strings.Replace(good, "2400", `"long"`, 1), 400, `"field":"board.length_mm"`},
	} {
		if code, says := post(t, a, c.path, c.body); code != c.code || !strings.Contains(says, c.says) {
			t.Errorf("%s: %d %.200s", name, code, says)
		}
	}
	if code, says := get(t, a, "/v1/boards:solve"); code != http.StatusMethodNotAllowed {
		t.Errorf("GET: %d %s", code, says)
	}
	ctx, cancel := context.WithTimeout(t.Context(), time.Nanosecond)
	defer cancel()
	if _, err := client.SolveBoard(ctx, &ripwrightv1.SolveBoardRequest{}); status.Code(err) != codes.DeadlineExceeded {
		t.Errorf("no time: %v", err)
	}
	h, err := grpc_health_v1.NewHealthClient(conn).Check(t.Context(), &grpc_health_v1.HealthCheckRequest{Service: "ripwright.v1.RipService"})
	if err != nil || h.GetStatus() != grpc_health_v1.HealthCheckResponse_SERVING {
		t.Errorf("health %v %v", h, err)
	}
	if code, says := get(t, a, "/openapi.yaml"); code != http.StatusOK || !strings.Contains(says, "/v1/boards:solve") {
		t.Errorf("OpenAPI: %d", code)
	}
}

// The interceptors count JSON calls too, and the exposed metrics keep Prometheus's own
// rules.
func TestMetrics(t *testing.T) {
	a, _, _ := start(t)
	post(t, a, "/v1/boards:solve", good)
	post(t, a, "/v1/boards:solve", `{}`)
	// Ids that look like the service's own leave the exposition valid.
	post(t, a, "/v1/boards:solve", strings.NewReplacer(`"order_id":"o1",`, "", "stile", "other").Replace(good))
	code, text := get(t, a, "/metrics")
	if code != http.StatusOK {
		t.Fatalf("%d %s", code, text)
	}
	for _, want := range []string{
		`ripwright_boards_planned_total{outcome="strips",saw="plover"} 2`,
		`ripwright_planned_face_area_square_meters_total{saw="plover",use="strip"}`,
		`method="/ripwright.v1.RipService/SolveBoard"`, `code="InvalidArgument"`,
		`ripwright_solve_duration_seconds_count{saw="plover"} 2`,
	} {
		if !strings.Contains(text, want) {
			t.Errorf("%s is missing in\n%s", want, text)
		}
	}
	problems, err := promlint.New(bytes.NewBufferString(text)).Lint()
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range problems {
		if strings.HasPrefix(p.Metric, "ripwright_") {
			t.Errorf("%s: %s", p.Metric, p.Text)
		}
	}
}
