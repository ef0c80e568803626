//go:build verify

package scraped

import (
	"context"
	"fmt"
	"maps"
	"math"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/grpc/credentials/insecure"
	"google.golang.org/protobuf/proto"

	"github.com/ripwright/ripwright/clients/internal/prometheus"
	"github.com/ripwright/ripwright/clients/internal/replicas"
	"github.com/ripwright/ripwright/clients/linesim/sim"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// mill is a small plant: two replicas, lines on them, and a Prometheus that scrapes both
// by the shipped rules.
type mill struct {
	t        *testing.T
	replicas []*replicas.Replica
	p        *prometheus.Server
	runs     []*books
}

func (m *mill) dial(at int) (ripwrightv1.RipServiceClient, func(), error) {
	conn, err := grpc.NewClient(m.replicas[at].GRPC, grpc.WithTransportCredentials(insecure.NewCredentials()))
	if err != nil {
		return nil, nil, err
	}
	return ripwrightv1.NewRipServiceClient(conn), func() { _ = conn.Close() }, nil
}

// line runs boards over a replica and keeps separate books. Before the first board
// Prometheus has seen the saw's counters at 0, as in a mill, where minutes pass between
// set-up and the first board.
func (m *mill) line(at int, seed uint64, boards int, setUp *ripwrightv1.LineSetUp, saw *ripwrightv1.Saw) {
	m.t.Helper()
	first := proto.CloneOf(setUp)
	first.RunId += ", set up"
	client, done, err := m.dial(at)
	if err != nil {
		m.t.Fatal(err)
	}
	defer done()
	s, err := client.RunLine(m.t.Context())
	if err != nil {
		m.t.Fatal(err)
	}
	if err := s.Send(&ripwrightv1.RunLineRequest{Sequence: 1, Message: &ripwrightv1.RunLineRequest_SetUp{SetUp: first}}); err != nil {
		m.t.Fatal(err)
	}
	if _, err := s.Recv(); err != nil {
		m.t.Fatal(err)
	}
	by := fmt.Sprintf(`{saw=%q, blades_changed=%q, instance=%q}`, saw.GetName(), saw.GetBladesChanged(), m.replicas[at].HTTP)
	m.p.Until("the saw is counted from 0", func() bool {
		return len(m.p.Query(`instance_saw_blade:ripwright_blade_cut_length_meters:sampled`+by)) == len(saw.GetBlades())
	})
	b := newBooks(saw, setUp.GetOrder().GetOrderId())
	// It runs for ten minutes, is stopped for three and a half, and runs for two.
	for i, more := range []*ripwrightv1.RunLineRequest{
		{AtS: proto.Float64(1e9), Message: &ripwrightv1.RunLineRequest_SumUp{SumUp: &ripwrightv1.LineSumUp{}}},
		{AtS: proto.Float64(1e9 + 600), Message: &ripwrightv1.RunLineRequest_Stop{Stop: &ripwrightv1.LineStop{Reason: "jam"}}},
		{AtS: proto.Float64(1e9 + 810), Message: &ripwrightv1.RunLineRequest_Restart{Restart: &ripwrightv1.LineRestart{}}},
		{AtS: proto.Float64(1e9 + 930), Message: &ripwrightv1.RunLineRequest_SumUp{SumUp: &ripwrightv1.LineSumUp{}}},
	} {
		more.Sequence = int32(i) + 2
		if err := s.Send(more); err != nil {
			m.t.Fatal(err)
		}
		if a, err := s.Recv(); err != nil || a.GetRefused() != nil {
			m.t.Fatal(a, err)
		}
	}
	b.running, b.standing = 720, 210
	_ = s.CloseSend()

	r, err := sim.Run(m.t.Context(), sim.Config{Seed: seed, Boards: boards, SetUp: setUp, Saw: saw, Patience: time.Minute, Heard: b.heard,
		Dial: func(context.Context) (ripwrightv1.RipServiceClient, func(), error) { return m.dial(at) }})
	if err != nil {
		m.t.Fatal(err)
	}
	if len(r.Wrong) > 0 || r.Missed > 0 {
		m.t.Fatalf("%v, %d missed", r.Wrong, r.Missed)
	}
	m.runs = append(m.runs, b)
}

// sum adds up a figure over some of the runs.
func (m *mill) sum(of func(*books) float64, which func(*books) bool) (sum float64) {
	for _, b := range m.runs {
		if which(b) {
			sum += of(b)
		}
	}
	return sum
}

// An inline saw whose blades are changed, a saw by name, orders counted in every way,
// over two replicas: every query of the dashboard gives what the clients' books say, for
// all saws and orders and for one, and every rule finds what it selects.
func TestEveryQuery(t *testing.T) {
	m := openMill(t)
	began := time.Now()
	m.work()
	if took := time.Since(began); took > 4*time.Minute {
		t.Fatalf("the machine took %v; the queries look back five minutes", took)
	}
	listed := m.choices()
	// The last scrape has everything.
	m.p.Until("all boards are counted", func() bool {
		return m.p.By("", `sum(ripwright_boards_cut_total)`)[""] == m.sum(func(b *books) float64 { return total(b.outcomes) }, every) &&
			m.p.By("", `sum(ripwright_plan_duration_seconds_count{call="QuoteOrder"})`)[""] == 1
	})
	// Time for the rules after it, and enough that what is extrapolated beyond the scrapes
	// is small.
	time.Sleep(15 * time.Second)
	for _, saw := range []string{".*", "kestrel", listed} {
		for _, order := range []string{".*", "drawers"} {
			m.queries(saw, order)
		}
	}
	m.rules()
}

func every(*books) bool { return true }

func total(of map[string]float64) (sum float64) {
	for _, v := range of {
		sum += v
	}
	return sum
}

func openMill(t *testing.T) *mill {
	dir := t.TempDir()
	program, err := replicas.Build(dir)
	if err != nil {
		t.Fatal(err)
	}
	// Saws by name: those of the simulated line and one used by others.
	saws := filepath.Join(dir, "saws.yaml")
	put(t, saws, `[{"name": "linden", "blades_changed": "2031-05-02", "kerf_mm": 3.2, "step_mm": 0.5, "min_gap_mm": 30, "min_strip_width_mm": 25,
		"fence": {"min_mm": 20, "max_mm": 200}, "blades": [{"fixed_mm": 120}, {"moving": {"min_mm": 155, "max_mm": 300}}, {"moving": {"min_mm": 260, "max_mm": 450}}],
		"limits": {"max_length_mm": 6200}}]`)
	cert, key := certificate(t, dir, time.Now().Add(90*24*time.Hour))
	tokens, token := filepath.Join(dir, "tokens.yaml"), filepath.Join(dir, "token")
	put(t, tokens, `[{name: prometheus, token: "a-token-that-reads-0123456789", scopes: [read]}]`)
	put(t, token, "a-token-that-reads-0123456789")
	m := &mill{t: t}
	for _, args := range [][]string{
		{"--saws", saws, "--record", filepath.Join(dir, "boards.jsonl")}, {"--saws", saws},
		{"--saws", saws, "--tls-cert", cert, "--tls-key", key, "--tokens", tokens},
	} {
		r, err := replicas.Launch(program, args...)
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(r.Kill)
		m.replicas = append(m.replicas, r)
	}
	rules, err := filepath.Abs(shippedIn + "rules.yaml")
	if err != nil {
		t.Fatal(err)
	}
	m.p = prometheus.Start(t, fmt.Sprintf(`
global: {scrape_interval: 200ms, scrape_timeout: 200ms, evaluation_interval: 200ms}
rule_files: [%q]
scrape_configs:
  - job_name: ripwright
    authorization: {credentials_file: %q}
    tls_config: {ca_file: %q}
    static_configs:
      - targets: [%q, %q]
      - targets: [%q]
        labels: {__scheme__: https}
`, rules, token, cert, m.replicas[0].HTTP, m.replicas[1].HTTP, m.replicas[2].HTTP))
	m.p.Until("three replicas are up", func() bool { return m.p.By("", `sum(up == 1)`)[""] == 3 })
	return m
}

// work runs the mill.
func (m *mill) work() {
	t := m.t
	client, done, err := m.dial(0)
	if err != nil {
		t.Fatal(err)
	}
	defer done()
	// Orders that no line runs: counted in crosscut pieces, and one whose plan is stopped.
	ask := &ripwrightv1.SolveBoardRequest{Board: sim.Board(1, 1), SawChoice: &ripwrightv1.SolveBoardRequest_SawName{SawName: "linden"},
		Order: &ripwrightv1.CutOrder{OrderId: "frames", Items: []*ripwrightv1.Item{{ItemId: "head", Width: &ripwrightv1.Item_WidthMm{WidthMm: 45},
			Crosscut: &ripwrightv1.Crosscut{Lengths: []*ripwrightv1.CutLength{
				{LengthMm: 600, Value: 1, Required: proto.Int32(40), Made: proto.Int32(10)},
				{LengthMm: 900, Value: 2, Required: proto.Int32(8), Made: proto.Int32(9)}}}}}}}
	if _, err := client.SolveBoard(t.Context(), ask); err != nil {
		t.Fatal(err)
	}
	m.p.Until("the saw by name is counted", func() bool { return len(m.p.Query(`ripwright_plans_unproven_total{saw="linden",limit="work"}`)) == 1 })
	ask.Options = &ripwrightv1.SolveOptions{WorkLimit: proto.Float64(1)}
	stopped, err := client.SolveBoard(t.Context(), ask)
	if err != nil {
		t.Fatal(err)
	}
	single := newBooks(&ripwrightv1.Saw{Name: "linden", BladesChanged: "2031-05-02"}, "frames")
	single.planned = 1 // the first one created the series
	account(single.plannedUses, stopped.GetPlan().GetAccount())
	m.runs = append(m.runs, single)
	resp, err := http.Post("http://"+m.replicas[0].HTTP+"/v1/orders:quote", "application/json", strings.NewReader(`{"saw_name":"linden","simulations":1,
		"order":{"items":[{"item_id":"a","width_mm":60,"required":{"length_m":9}}]},"lumber":{"lots":[{"tagged":{"rows":[{"width_mm":200,"length_mm":2000,"count":1}]}}]}}`))
	if err != nil || resp.StatusCode != http.StatusOK {
		t.Fatal(resp, err)
	}
	_ = resp.Body.Close()

	doors := sim.SetUp("doors 1")
	doors.Order.OrderId = "doors"
	kestrel := doors.GetSaw()
	kestrel.Name, kestrel.BladesChanged = "kestrel", "2031-05-05"
	m.line(0, 11, 40, proto.CloneOf(doors), proto.CloneOf(kestrel))
	// By name, and partly counted by area.
	drawers := sim.SetUp("drawers 1")
	drawers.Order.OrderId = "drawers"
	drawers.SawChoice = &ripwrightv1.LineSetUp_SawName{SawName: "linden"}
	drawers.CurrentSetting = &ripwrightv1.Setting{FenceMm: proto.Float64(100), BladesMm: []float64{120, 200, 300}}
	panel := drawers.Order.Items[4]
	panel.Required = &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_AreaM2{AreaM2: 30}}
	m.line(1, 12, 40, drawers, m.linden())
	// Other blades on the inline saw, and the order continues at the other replica with a
	// smaller requirement than the first one knows.
	doors.RunId, kestrel.BladesChanged = "doors 2", "2031-05-06"
	for i, f := range m.runs[1].fills {
		doors.Order.Items[i].Made = f.GetMade()
	}
	doors.Order.Items[0].Required = &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_LengthM{LengthM: 350}}
	m.line(1, 13, 40, doors, kestrel)
}

// linden is the saw of the saw file.
func (m *mill) linden() *ripwrightv1.Saw {
	conn, err := grpc.NewClient(m.replicas[1].GRPC, grpc.WithTransportCredentials(insecure.NewCredentials()))
	if err != nil {
		m.t.Fatal(err)
	}
	defer func() { _ = conn.Close() }()
	a, err := ripwrightv1.NewInfoServiceClient(conn).ListSaws(m.t.Context(), &ripwrightv1.ListSawsRequest{})
	if err != nil {
		m.t.Fatal(err)
	}
	return a.GetSaws()[0].GetSaw()
}

// choices runs the variables' queries and gives the saw by name.
func (m *mill) choices() string {
	want := map[string][]string{"saw": {"kestrel", "linden"}, "order": {"doors", "drawers", "frames"}}
	call := regexp.MustCompile(`^label_values\(([a-z_]+), ([a-z_]+)\)$`)
	for _, v := range dashboard(m.t).Templating.List {
		of := call.FindStringSubmatch(v.Definition)
		if of == nil {
			m.t.Fatalf("%s asks %s", v.Name, v.Definition)
		}
		if got := m.p.Values(of[1], of[2]); !slices.Equal(got, want[v.Name]) {
			m.t.Errorf("the choices of a %s are %q, want %q", v.Name, got, want[v.Name])
		}
	}
	return "linden"
}

// near is the relative error of a rate over time: Prometheus extrapolates by up to a
// scrape interval at the end.
const near = 0.06

// filled substitutes chosen values into a query as the dashboard does.
func filled(expr, saw, order string) string {
	return strings.NewReplacer("$saw", saw, "$order", order).Replace(expr)
}

// figure is the expected result of a query, by its labels in order of their names.
type figure map[string]float64

func (m *mill) queries(saw, order string) {
	want := m.figures(saw, order)
	asked := 0
	for _, p := range dashboard(m.t).Panels {
		for i, q := range p.Targets {
			asked++
			expr := filled(q.Expr, saw, order)
			check, ok := want[fmt.Sprint(p.Title, " ", i)]
			if !ok {
				m.t.Errorf("no figure is expected of %s of %q", q.RefID, p.Title)
				continue
			}
			got := figure{}
			for _, s := range m.p.Query(expr) {
				var by []string
				for _, l := range slices.Sorted(maps.Keys(s.Labels)) {
					if l != "__name__" {
						by = append(by, s.Labels[l])
					}
				}
				got[strings.Join(by, " ")] = s.Value
			}
			for _, wrong := range check(got) {
				m.t.Errorf("%s of %q for saw %q and order %q: %s\n  %s", q.RefID, p.Title, saw, order, wrong, expr)
			}
		}
	}
	if asked != len(want) {
		m.t.Errorf("%d queries were asked, %d have figures", asked, len(want))
	}
}

// exactly expects these series and no others, each within a relative error.
func exactly(want figure, within float64) func(figure) []string {
	return func(got figure) (wrong []string) {
		for k, w := range want {
			if g, ok := got[k]; !ok || math.Abs(g-w) > within*math.Abs(w)+1e-9 {
				wrong = append(wrong, fmt.Sprintf("%q is %g (%v), want %g", k, g, ok, w))
			}
		}
		for k, g := range got {
			if _, ok := want[k]; !ok {
				wrong = append(wrong, fmt.Sprintf("%q is %g, want nothing", k, g))
			}
		}
		return wrong
	}
}

// between expects at least one series, and every one within limits.
func between(low, high float64) func(figure) []string {
	return func(got figure) (wrong []string) {
		if len(got) == 0 {
			return []string{"no data came"}
		}
		for k, g := range got {
			if !(g >= low && g <= high) {
				wrong = append(wrong, fmt.Sprintf("%q is %g, want %g to %g", k, g, low, high))
			}
		}
		return wrong
	}
}

// rules checks that Prometheus evaluates every rule without an error, that each figure
// has series, and that every selector of every alert matches some, so that no alert is
// silent because its metric does not exist.
func (m *mill) rules() {
	text, err := os.ReadFile(shippedIn + "rules.yaml")
	if err != nil {
		m.t.Fatal(err)
	}
	for _, r := range m.p.Rules() {
		if r.Health != "ok" {
			m.t.Errorf("%s: %s %s", r.Name, r.Health, r.LastError)
		}
		if r.Type == "recording" && len(m.p.Query(r.Name)) == 0 {
			m.t.Errorf("%s is empty", r.Name)
		}
		if r.Type == "alerting" && r.State == "firing" {
			m.t.Errorf("%s fires in a mill where nothing is wrong", r.Name)
		}
	}
	selector := regexp.MustCompile(`\b(?:[a-z_]+:)?ripwright_[a-z0-9_]+(?::[a-z0-9_]+)?(?:\{[^}]*\})?|up\{[^}]*\}`)
	for _, s := range selector.FindAllString(string(text), -1) {
		if len(m.p.Query(s)) == 0 {
			m.t.Errorf("a rule queries %s, which has no series", s)
		}
	}
}
