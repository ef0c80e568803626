package orders

import (
	"context"
	"strings"
	"testing"
	"time"

	"go.uber.org/zap"
	"google.golang.org/grpc"
	"google.golang.org/grpc/credentials/insecure"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/app"
	"github.com/ripwright/ripwright/server/service"
	"github.com/ripwright/ripwright/server/workers"
	"github.com/ripwright/ripwright/solver/planning/invented"
	"github.com/ripwright/ripwright/solver/planning/quote"
	"github.com/ripwright/ripwright/testdata/brief"
	"github.com/ripwright/ripwright/testdata/written"
)

// serve gives a client of a service in this process.
func serve(t *testing.T) ripwrightv1.RipServiceClient {
	t.Helper()
	line, _ := serveBoth(t)
	return line
}

func serveBoth(t *testing.T) (ripwrightv1.RipServiceClient, ripwrightv1.PlanningServiceClient) {
	t.Helper()
	a, err := app.New(app.Config{GRPC: "127.0.0.1:0", HTTP: "127.0.0.1:0", Drain: 5 * time.Second, LongestPlan: 10 * time.Minute, Workers: workers.Config{Waiting: 16},
		Service: service.Config{Solves: 2, Waiting: 64, Longest: 10 * time.Second}}, zap.NewNop())
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- a.Run(ctx) }()
	t.Cleanup(func() {
		stop()
		if err := <-ended; err != nil {
			t.Error(err)
		}
	})
	conn, err := grpc.NewClient(a.GRPC(), grpc.WithTransportCredentials(insecure.NewCredentials()))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = conn.Close() })
	return ripwrightv1.NewRipServiceClient(conn), ripwrightv1.NewPlanningServiceClient(conn)
}

// Small orders are cut to their end in every way, none of them in fewer boards than the
// bound. The same call prints the same, one order after another or concurrently; an order
// too far from the bound is detected.
func TestOrders(t *testing.T) {
	brief.Skip(t)
	c := Config{Client: serve(t), Orders: 2, Boards: 8, Every: 3, Together: 2, Within: 60}
	var first, again strings.Builder
	holds, err := Run(t.Context(), c, &first)
	if err != nil || !holds {
		t.Fatalf("%v\n%s", err, first.String())
	}
	c.Together, c.Within = 1, 0
	holds, err = Run(t.Context(), c, &again)
	if err != nil || holds {
		t.Errorf("an order within 0 %% of its bound: %v\n%s", err, again.String())
	}
	table := func(b *strings.Builder) string {
		text, _, _ := strings.Cut(b.String(), "planned values over")
		return text
	}
	if table(&first) != table(&again) {
		t.Errorf("first\n%s\nthen\n%s", first.String(), again.String())
	}
	r, err := run(t.Context(), &c, 0)
	if err != nil {
		t.Fatal(err)
	}
	for i, took := range r.took {
		if took < r.least {
			t.Errorf("%s: %d boards, fewer than the bound, %d", ways[i].name, took, r.least)
		}
	}
	// Boards run out before they fill it, which is an error and not a result.
	p := invented.Order(0, c.Boards)
	m := &ripwrightv1.LineSetUp{RunId: "short", Options: everyItem, SawChoice: &ripwrightv1.LineSetUp_Saw{Saw: written.Saw(&p.Values.Saw, &p.Pace)},
		Order: &ripwrightv1.CutOrder{OrderId: "short", Items: written.Items(p.Values.Items)}}
	if _, err := cut(t.Context(), c.Client, m, of(quote.Boards(p, 0, 0, r.least-1))); err == nil {
		t.Error("fewer boards than the bound fill an order")
	}
}

// A line's plan is the one that the order gives at the values of its way: by yield alone
// two widths have the same value per square metre.
func TestWays(t *testing.T) {
	p := invented.Order(1, 100)
	for _, w := range ways {
		m := &ripwrightv1.LineSetUp{Order: &ripwrightv1.CutOrder{Items: written.Items(p.Values.Items)}}
		w.setUp(m, p, &Config{Every: 7}, 1)
		values := map[float64]bool{}
		for _, it := range m.GetOrder().GetItems() {
			values[it.GetValue()] = true
		}
		if alike := len(values) == 1; alike != (w.name == "yield alone") {
			t.Errorf("%s: values %v", w.name, values)
		}
		if planned := m.GetValuePlanning() != nil; planned != strings.HasPrefix(w.name, "planned") || planned && m.GetValuePlanning().GetReplanEveryBoards() != 7 {
			t.Errorf("%s: %v", w.name, m.GetValuePlanning())
		}
		if told := len(m.GetValuePlanning().GetExpected()); told != 0 && told != expected || told > 0 != strings.HasSuffix(w.name, "told") {
			t.Errorf("%s: %d expected boards", w.name, told)
		}
	}
}

// Orders from tags are compared with the bound, by the way that knows what boards come,
// at the median and at worst.
func TestTags(t *testing.T) {
	brief.Skip(t)
	c := Config{Client: serve(t), Orders: 2, Boards: 20, Every: 5, Together: 1, Tags: true, Within: 60, AtWorst: 60}
	var b strings.Builder
	if holds, err := Run(t.Context(), c, &b); err != nil || !holds {
		t.Fatalf("%v\n%s", err, b.String())
	}
	tab := table{out: &b, by: 1, over: [][]float64{{0.5, 0.5, 0.5}, {0.001, 0.002, 0.03}, {0, 0, 0}, {0, 0, 0}}}
	if !tab.end(1, 4) || tab.end(1, 2) || tab.end(0.1, 4) || !tab.end(1, 0) {
		t.Error(b.String())
	}
}

func TestMedian(t *testing.T) {
	if m := median([]float64{3, 1, 2}); m != 2 {
		t.Error(m)
	}
	if m := median([]float64{4, 1, 3, 2}); m != 2.5 {
		t.Error(m)
	}
}
