package line

import (
	"context"
	"sync"
	"testing"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"go.uber.org/zap"

	"github.com/ripwright/ripwright/clients/linesim/sim"
	"github.com/ripwright/ripwright/clients/wherry/internal/books"
	"github.com/ripwright/ripwright/clients/wherry/internal/contract"
	"github.com/ripwright/ripwright/clients/wherry/internal/plc"
	"github.com/ripwright/ripwright/clients/wherry/internal/standin"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// A clock that is repeatedly set back an hour affects neither the life counter nor the
// detection of a stopped PLC.
func TestClockSetBack(t *testing.T) {
	p := standin.New(3, 1)
	p.Scans, p.Hold, p.Cutting = boards(12), 2*time.Second, 3*time.Millisecond
	set := sim.SetUp("run")
	set.Options = &ripwrightv1.SolveOptions{}
	b, err := books.Open(t.TempDir(), "run")
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = b.Close() }()
	ran, dead := make(chan struct{}), make(chan struct{})
	var looks, back int
	var late sync.Once
	cfg := Config{Books: b, Stream: streams(t, services(t, 1)), SetUp: set, Slots: standin.Slots, Poll: time.Millisecond, Beat: 10 * time.Millisecond,
		Dead: 200 * time.Millisecond, Within: 500 * time.Millisecond, Log: zap.NewNop(), Registry: prometheus.NewRegistry(),
		Dial: func(context.Context) (plc.PLC, error) { return p.Dial(3, 0, 0), nil },
		Now: func() time.Time {
			if looks++; looks%50 == 0 && back < 5 {
				back++
			}
			return time.Now().Round(0).Add(-time.Duration(back) * time.Hour)
		},
		Stands: func(connected, _ bool) {
			select {
			case <-ran:
				if !connected {
					late.Do(func() { close(dead) })
				}
			default:
			}
		}}
	go func() {
		p.Run(1)
		close(ran)
	}()
	ctx, end := context.WithCancel(t.Context())
	done := make(chan error, 1)
	go func() { done <- Run(ctx, cfg) }()
	select {
	case <-dead:
	case <-time.After(time.Minute):
		t.Error("a stopped PLC is not detected")
	}
	end()
	if err := <-done; err != nil {
		t.Fatal(err)
	}
	v, err := p.Dial(1, 0, 0).Read(t.Context(), contract.BridgeLife)
	if err != nil || v[contract.BridgeLife].N < 10 || back < 3 {
		t.Errorf("%d beats, clock set back %d times: %v", v[contract.BridgeLife].N, back, err)
	}
	cut := 0
	for _, c := range p.Cuts {
		if c.Outcome == contract.AsPlanned {
			cut++
		}
	}
	if cut < 8 {
		t.Errorf("%d of %d boards cut", cut, len(p.Cuts))
	}
}
