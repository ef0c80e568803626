//go:build verify

package line

import (
	"context"
	"encoding/json"
	"math"
	"slices"
	"testing"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"go.uber.org/zap"

	"github.com/ripwright/ripwright/clients/linesim/sim"
	"github.com/ripwright/ripwright/clients/wherry/internal/handover"
	"github.com/ripwright/ripwright/clients/wherry/internal/mqtt"
	"github.com/ripwright/ripwright/clients/wherry/internal/plc"
	"github.com/ripwright/ripwright/clients/wherry/internal/standin"
	"github.com/ripwright/ripwright/clients/wherry/internal/standin/broker"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// Displays finally receive what the service said last, even if their broker comes late
// and the bridge is killed.
func TestPublishes(t *testing.T) {
	all := services(t, 1)
	p := standin.New(7, 1)
	p.Scans, p.Hold, p.Cutting = boards(20), 2*time.Second, 3*time.Millisecond
	o := &told{plans: map[handover.Board]*ripwrightv1.Plan{}, fills: map[string]*ripwrightv1.Fill{}}
	at, dir, e := broker.Address(t), t.TempDir(), &broker.Ears{}
	lives := 0
	set := sim.SetUp("run")
	set.Options = &ripwrightv1.SolveOptions{}
	cfg := Config{Stream: streams(t, all), SetUp: set, Slots: standin.Slots, Poll: time.Millisecond, Beat: 10 * time.Millisecond,
		Dead: 2 * time.Second, Within: 500 * time.Millisecond, Log: zap.NewNop(), SumUp: 20 * time.Millisecond}
	cfg.Dial = func(context.Context) (plc.PLC, error) { return p.Dial(7, 0, 0), nil }
	// Here one publisher serves successive bridges, as its queue would allow.
	q, err := mqtt.Open(mqtt.Config{URL: "mqtt://" + at, ClientID: "wherry", User: broker.User, Password: broker.Password, Topic: "saw", RunID: "run", Queue: dir, Most: 1000,
		Log: zap.NewNop(), Registry: prometheus.NewRegistry()})
	if err != nil {
		t.Fatal(err)
	}
	ctx, end := context.WithCancel(t.Context())
	done := make(chan error, 1)
	go func() { done <- q.Run(ctx) }()
	cfg.Stands = q.Stands
	cfg.Tell = func(of handover.Board, a *ripwrightv1.RunLineResponse) {
		o.hear(of, a)
		q.Tell(of, a)
	}
	runs(t, p, 1, cfg, t.TempDir(), func() time.Duration {
		if lives++; lives == 2 {
			broker.Opens(t, at, e, 0)
		}
		return 150 * time.Millisecond
	})
	if lives < 2 {
		broker.Opens(t, at, e, 0)
	}
	heard := func(topic string, m any) {
		t.Helper()
		l := e.Heard("saw/" + topic)
		if len(l) == 0 {
			t.Fatalf("%s: no message", topic)
		}
		if err := json.Unmarshal([]byte(l[len(l)-1]), m); err != nil {
			t.Fatal(err)
		}
	}
	for until := time.Now().Add(20 * time.Second); len(e.Heard("saw/yield")) == 0 && time.Now().Before(until); {
		time.Sleep(10 * time.Millisecond)
	}
	end()
	if err := <-done; err != nil {
		t.Fatal(err)
	}
	e.Bye(t)
	for item, want := range o.fills {
		var f struct {
			Made float64
			Unit string
		}
		a := want.GetMade()
		made := map[string]float64{"m": a.GetLengthM(), "m2": a.GetAreaM2(), "pieces": float64(a.GetPieces())}
		if heard("fill/"+item, &f); math.Abs(f.Made-made[f.Unit]) > 1e-9 {
			t.Errorf("%s: %v %s made, want %v", item, f.Made, f.Unit, a)
		}
	}
	var last struct{ Number uint32 }
	if heard("plan", &last); last.Number != 20 {
		t.Errorf("the last plan is of board %d", last.Number)
	}
	if n := len(e.Heard("saw/plan")); n < 20 {
		t.Errorf("%d plans of 20 boards published", n)
	}
	var y struct {
		Planned int32
		Face    float64 `json:"face_m2"`
		Strip   float64 `json:"strip_m2"`
		Ratio   float64 `json:"yield_ratio"`
	}
	if heard("yield", &y); y.Planned == 0 || y.Face <= 0 || math.Abs(y.Ratio-y.Strip/y.Face) > 1e-9 {
		t.Errorf("%+v", y)
	}
	states := e.Heard("saw/state")
	if !slices.Contains(states, `{"kind":"state","run":"run","running":true,"plc":true,"service":true}`) {
		t.Error(states)
	}
}
