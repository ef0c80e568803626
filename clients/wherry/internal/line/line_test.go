package line

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"sync"
	"testing"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"go.uber.org/zap"
	"google.golang.org/grpc"
	"google.golang.org/grpc/credentials/insecure"

	"github.com/ripwright/ripwright/clients/internal/replicas"
	"github.com/ripwright/ripwright/clients/linesim/sim"
	"github.com/ripwright/ripwright/clients/session"
	"github.com/ripwright/ripwright/clients/wherry/internal/books"
	"github.com/ripwright/ripwright/clients/wherry/internal/contract"
	"github.com/ripwright/ripwright/clients/wherry/internal/handover"
	"github.com/ripwright/ripwright/clients/wherry/internal/plc"
	"github.com/ripwright/ripwright/clients/wherry/internal/standin"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// program is the service's.
var program string

func TestMain(m *testing.M) {
	dir, err := os.MkdirTemp("", "wherry-line-")
	if err == nil {
		program, err = replicas.Build(dir)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	status := m.Run()
	_ = os.RemoveAll(dir)
	os.Exit(status)
}

// services launches replicas of the service as separate processes.
func services(t *testing.T, n int) []*replicas.Replica {
	t.Helper()
	var l []*replicas.Replica
	for range n {
		r, err := replicas.Launch(program)
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(r.Kill)
		l = append(l, r)
	}
	return l
}

// streams opens streams on replicas in turn.
func streams(t *testing.T, all []*replicas.Replica) func(context.Context) (session.Stream, error) {
	t.Helper()
	var clients []ripwrightv1.RipServiceClient
	for _, r := range all {
		conn, err := grpc.NewClient(r.GRPC, grpc.WithTransportCredentials(insecure.NewCredentials()))
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { _ = conn.Close() })
		clients = append(clients, ripwrightv1.NewRipServiceClient(conn))
	}
	n := 0
	return func(ctx context.Context) (session.Stream, error) {
		n++
		return clients[n%len(clients)].RunLine(ctx)
	}
}

// told has the answers of the service.
type told struct {
	mu    sync.Mutex
	plans map[handover.Board]*ripwrightv1.Plan
	fills map[string]*ripwrightv1.Fill
	wrong []string
}

func (o *told) hear(of handover.Board, a *ripwrightv1.RunLineResponse) {
	o.mu.Lock()
	defer o.mu.Unlock()
	if p := a.GetPlan(); p != nil {
		o.plans[of] = p.GetPlan()
	}
	for _, f := range a.GetFills() {
		o.fills[f.GetItemId()] = f
	}
	if r := a.GetRefused(); r != nil && r.GetReason() == ripwrightv1.LineRefusalReason_LINE_REFUSAL_REASON_INVALID {
		o.wrong = append(o.wrong, r.String())
	}
}

// boards gives n boards of the simulation.
func boards(n int) func() (standin.Scan, bool) {
	k := 0
	return func() (standin.Scan, bool) {
		k++
		b := sim.Board(5, k)
		s := standin.Scan{Length: b.GetLengthMm()}
		for _, x := range b.GetStations() {
			s.At, s.Near, s.Far = append(s.At, x.GetXMm()), append(s.Near, x.GetNearMm()), append(s.Far, x.GetFarMm())
		}
		return s, k <= n
	}
}

// runs continues a line, killing and restarting its bridge at intervals, until the PLC is
// done and every result is in the books and sent.
func runs(t *testing.T, p *standin.PLC, from uint32, cfg Config, dir string, lives func() time.Duration) {
	t.Helper()
	done := make(chan struct{})
	go func() {
		p.Run(from)
		close(done)
	}()
	end := time.Now().Add(3 * time.Minute)
	for {
		b, err := books.Open(dir, "run")
		if err != nil {
			t.Fatal(err)
		}
		cfg.Books, cfg.Registry = b, prometheus.NewRegistry()
		ctx, kill := context.WithTimeout(t.Context(), lives())
		err = Run(ctx, cfg)
		kill()
		open := len(b.Results) > 0 || b.Unanswered != nil
		if err := b.Close(); err != nil {
			t.Fatal(err)
		}
		if err != nil && !errors.Is(err, context.DeadlineExceeded) {
			t.Fatal(err)
		}
		select {
		case <-done:
			if written, taken := p.Taken(); written == taken && !open {
				return
			}
		default:
		}
		if time.Now().After(end) {
			t.Fatal("the line does not end")
		}
	}
}

// made is what the accepted cuts of a PLC made by the service's plans, in metres by item.
func made(p *standin.PLC, o *told) map[string]float64 {
	m := map[string]float64{}
	for _, c := range p.Cuts {
		if c.Outcome != contract.AsPlanned {
			continue
		}
		for _, k := range o.plans[c.Board].GetPockets() {
			if k.GetItemId() != "" {
				m[k.GetItemId()] += k.GetCountedLengthM()
			}
		}
	}
	return m
}

// counted ends the run, from its books, and gives what the service has of each item in
// metres.
func counted(t *testing.T, cfg Config, dir string) map[string]float64 {
	t.Helper()
	b, err := books.Open(dir, "run")
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = b.Close() }()
	s := session.Session{Dial: cfg.Stream, Within: time.Minute, Patience: time.Minute}
	s.Resume(b.Sequence, b.State)
	defer s.Close()
	a, err := s.Ask(t.Context(), &ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_End{End: &ripwrightv1.EndOfRun{}}})
	if err != nil {
		t.Fatal(err)
	}
	m := map[string]float64{}
	for _, x := range a.GetSummary().GetItems() {
		m[x.GetItemId()] += x.GetLengthM()
	}
	return m
}

// Whatever the network and the PLC do, and wherever the bridge is killed: made equals the
// accepted cuts, and no plan stands beside another board's number.
func TestBooksAgree(t *testing.T) {
	all := services(t, 2)
	for seed := range uint64(2) {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			rng := rand.New(rand.NewPCG(seed, 3))
			from := []uint32{1, math.MaxUint32 - 7}[seed%2]
			p := standin.New(seed, from)
			p.Scans, p.Refuse, p.Hold, p.Cutting = boards(40), .1, 2*time.Second, 3*time.Millisecond
			p.Number(uint32(0) - 5*uint32(seed%2))
			p.Outcome = func(rng *rand.Rand) contract.Outcome {
				return []contract.Outcome{contract.AsPlanned, contract.AsPlanned, contract.AsPlanned, contract.NotCut, contract.SentBack, contract.SetAside}[rng.IntN(6)]
			}
			o := &told{plans: map[handover.Board]*ripwrightv1.Plan{}, fills: map[string]*ripwrightv1.Fill{}}
			set := sim.SetUp("run")
			set.Options = &ripwrightv1.SolveOptions{}
			cfg := Config{Stream: streams(t, all), SetUp: set, Slots: standin.Slots, Poll: time.Millisecond, Beat: 10 * time.Millisecond,
				Dead: 2 * time.Second, Within: 500 * time.Millisecond, Log: zap.NewNop(), Tell: o.hear}
			cfg.Dial = func(context.Context) (plc.PLC, error) { return p.Dial(rng.Uint64(), .02, .02), nil }
			dir := t.TempDir()
			runs(t, p, from, cfg, dir, func() time.Duration { return time.Duration(50+rng.IntN(500)) * time.Millisecond })
			if len(p.Wrong)+len(o.wrong) > 0 {
				t.Error(p.Wrong, o.wrong)
			}
			cut := 0
			for _, c := range p.Cuts {
				if c.Outcome == contract.AsPlanned {
					cut++
				}
			}
			if len(p.Cuts) != 40 || cut < 5 {
				t.Errorf("%d boards, %d cut as planned", len(p.Cuts), cut)
			}
			agree(t, p, o, cfg, dir)
		})
	}
}

// agree ends the run and compares what was cut with the service's books.
func agree(t *testing.T, p *standin.PLC, o *told, cfg Config, dir string) {
	t.Helper()
	want, got := made(p, o), counted(t, cfg, dir)
	if want["stile"]+want["rail"]+want["lip"] == 0 {
		t.Error("nothing was cut")
	}
	for _, item := range []string{"stile", "rail", "lip"} {
		if math.Abs(got[item]-want[item]) > 1e-6 {
			t.Errorf("%s: %v m in the books, %v m cut", item, got[item], want[item])
		}
	}
}
