package service_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/testutil"
	"go.uber.org/zap"
	"go.uber.org/zap/zapcore"
	"go.uber.org/zap/zaptest/observer"
	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/fleet"
	"github.com/ripwright/ripwright/server/metrics"
	"github.com/ripwright/ripwright/server/record"
	"github.com/ripwright/ripwright/server/service"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/server/withhold"
	"github.com/ripwright/ripwright/solver/rip"
)

// liar is a solver that falsifies its results.
type liar struct {
	solved  func(*rip.Result)
	checked func(*rip.Checked)
}

func (l *liar) Solve(j *wire.Job) (*rip.Result, error) {
	r, err := j.Solve()
	if err == nil && l.solved != nil {
		l.solved(r)
	}
	return r, err
}

func (l *liar) SolveFrom(j *wire.Job, known *rip.Plan) (*rip.Result, error) {
	r, err := j.SolveFrom(known)
	if err == nil && l.solved != nil {
		l.solved(r)
	}
	return r, err
}

func (l *liar) Check(j *wire.Job) (*rip.Checked, error) {
	c, err := j.Check()
	if err == nil && l.checked != nil {
		l.checked(c)
	}
	return c, err
}

// mill is a service with a solver that may lie, and all its reports.
type mill struct {
	*service.Service
	*metrics.Metrics
	*liar
	log  *observer.ObservedLogs
	path string // of the recording
	end  func()
}

func newMill(t *testing.T) *mill {
	t.Helper()
	saws, err := fleet.BuiltIn()
	if err != nil {
		t.Fatal(err)
	}
	m := &mill{Metrics: metrics.New(time.Now), liar: &liar{}, path: filepath.Join(t.TempDir(), "boards.jsonl")}
	core, log := observer.New(zapcore.DebugLevel)
	m.log = log
	r, err := record.Open(record.Config{File: record.File{Path: m.path}, OneIn: 1_000_000, Log: zap.NewNop(), Metric: prometheus.NewRegistry(), Now: time.Now})
	if err != nil {
		t.Fatal(err)
	}
	r.Wants() // the first is recorded in any case
	m.end = r.Close
	t.Cleanup(r.Close)
	m.Service = service.New(saws, service.Config{Solves: 1, Waiting: 4, Longest: 10 * time.Second, Solver: m.liar, Record: r,
		Withheld: &withhold.Desk{Log: zap.New(core), Watch: m.Metrics, Record: r}}, m.Metrics, time.Now)
	return m
}

// count of plans withheld, by kind.
func (m *mill) count(t *testing.T, kind string) float64 {
	t.Helper()
	families, err := m.Registry.Gather()
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range families {
		if f.GetName() != "ripwright_plans_withheld_total" {
			continue
		}
		for _, s := range f.GetMetric() {
			if s.GetLabel()[0].GetValue() == kind {
				return s.GetCounter().GetValue()
			}
		}
	}
	t.Fatalf("no series of kind %s", kind)
	return 0
}

const job = `"saw_name": "heron", "order": {"order_id": "zq7-o", "items": [{"item_id": "zq7-stile", "width_mm": 66.6, "value": 14, "required": {"length_m": 120}}]},
 "board": {"board_id": "zq7-b", "length_mm": 2400, "stations": [{"near_mm": 0, "far_mm": 240}, {"x_mm": 2400, "near_mm": 4, "far_mm": 232}]}`

func read[M proto.Message](t *testing.T, m M, text string) M {
	t.Helper()
	if err := protojson.Unmarshal([]byte(text), m); err != nil {
		t.Fatal(err)
	}
	return m
}

// Nothing of a falsified plan is sent: the caller gets a status without details, and the
// log, the counter and the recording have the rest.
func TestLiesAreWithheld(t *testing.T) {
	worth := func(r *rip.Result) { r.Best.Worth.Lo++; r.Bound.Lo++ }
	solve := read(t, &ripwrightv1.SolveBoardRequest{}, `{`+job+`, "options": {"runners_up": 1}}`)
	check := read(t, &ripwrightv1.CheckPlanRequest{}, `{`+job+`, "setting": {"fence_mm": 100, "blades_mm": [100, 150, 225.4, 300]}}`)
	draw := read(t, &ripwrightv1.DrawPlanRequest{}, `{`+job+`}`)
	given := read(t, &ripwrightv1.DrawPlanRequest{}, `{`+job+`, "setting": {"fence_mm": 100, "blades_mm": [100, 150, 225.4, 300]}}`)
	calls := func(m *mill, of string) (proto.Message, error) {
		switch of {
		case "SolveBoard":
			return m.SolveBoard(t.Context(), solve)
		case "CheckPlan":
			return m.CheckPlan(t.Context(), check)
		case "DrawPlan":
			return m.DrawPlan(t.Context(), draw)
		}
		return m.DrawPlan(t.Context(), given)
	}
	told := map[string]bool{} // answered before the solver lied
	asked := map[string]proto.Message{"SolveBoard": solve, "CheckPlan": check, "DrawPlan": draw, "DrawPlan of a setting": given}
	for _, c := range []struct {
		call, kind string
		lie        liar
	}{
		{"SolveBoard", "worth", liar{solved: worth}},
		{"SolveBoard", "setting", liar{solved: func(r *rip.Result) {
			r.Best.Fence++
			for i := range r.Best.Pockets {
				r.Best.Pockets[i].Left--
				r.Best.Pockets[i].Right--
			}
		}}},
		{"SolveBoard", "runners_up", liar{solved: func(r *rip.Result) { r.RunnersUp[0] = r.Best }}},
		{"SolveBoard", "proof", liar{solved: func(r *rip.Result) { r.Bound.Hi-- }}},
		{"SolveBoard", "pockets", liar{solved: func(r *rip.Result) { r.Best = nil }}},
		{"CheckPlan", "worth", liar{solved: worth}},
		{"CheckPlan", "account", liar{checked: func(c *rip.Checked) { c.Plan.Account.Kerf++ }}},
		{"CheckPlan", "broken_rule", liar{checked: func(c *rip.Checked) { c.Broken = nil }}},
		{"DrawPlan", "account", liar{solved: func(r *rip.Result) { r.Best.Account.Face++ }}},
		{"DrawPlan of a setting", "measures", liar{checked: func(c *rip.Checked) { c.Plan.Travel++ }}},
	} {
		t.Run(c.call+" "+c.kind, func(t *testing.T) {
			m := newMill(t)
			if !told[c.call] {
				if _, err := calls(m, c.call); err != nil {
					t.Fatalf("a correct answer is withheld: %v", err)
				}
				told[c.call] = true
			}
			*m.liar = c.lie
			answer, err := calls(m, c.call)
			s := status.Convert(err)
			if s.Code() != codes.Internal || !strings.Contains(s.Message(), "withheld") || len(s.Details()) != 1 ||
				s.Details()[0].(*errdetails.ErrorInfo).GetReason() != "PLAN_WITHHELD" {
				t.Fatalf("%v, %v", answer, err)
			}
			if !protoNil(answer) {
				t.Errorf("sent %v", answer)
			}
			if n := m.count(t, c.kind); n != 1 {
				t.Errorf("%g plans withheld because of %s", n, c.kind)
			}
			if n := testutil.CollectAndCount(m.Registry, "ripwright_plans_withheld_total"); n != len(withhold.Kinds()) {
				t.Errorf("%d series", n)
			}
			m.logged(t, asked[c.call])
			m.recorded(t, asked[c.call])
			*m.liar = liar{}
			if _, err := m.SolveBoard(t.Context(), solve); err != nil {
				t.Errorf("afterwards: %v", err)
			}
		})
	}
}

// logged checks the one line of the log.
func (m *mill) logged(t *testing.T, asked proto.Message) {
	t.Helper()
	lines := m.log.All()
	if len(lines) != 1 || lines[0].Level != zapcore.ErrorLevel || lines[0].ContextMap()["request_sha256"] != withhold.Digest(asked) {
		t.Fatalf("log: %v", lines)
	}
	if text, err := json.Marshal(lines[0].ContextMap()); err != nil || strings.Contains(string(text), "zq7") {
		t.Errorf("the log quotes the request: %s", text)
	}
}

// recorded checks the recording, which holds nothing else.
func (m *mill) recorded(t *testing.T, asked proto.Message) {
	t.Helper()
	m.end()
	text, err := os.ReadFile(m.path)
	if err != nil {
		t.Fatal(err)
	}
	var rec struct {
		Request  json.RawMessage
		Withheld struct {
			Call        string
			Differences []string
		}
	}
	if err := json.Unmarshal(text, &rec); err != nil {
		t.Fatalf("%s: %v", text, err)
	}
	same := asked.ProtoReflect().New().Interface()
	if err := protojson.Unmarshal(rec.Request, same); err != nil || !proto.Equal(same, asked) {
		t.Errorf("recorded %s, %v", rec.Request, err)
	}
	if rec.Withheld.Call == "" || len(rec.Withheld.Differences) == 0 {
		t.Errorf("recorded %s", text)
	}
}

func protoNil(m proto.Message) bool { return m == nil || !m.ProtoReflect().IsValid() }
