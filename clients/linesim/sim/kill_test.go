package sim

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"
	"time"

	"google.golang.org/protobuf/proto"

	"github.com/ripwright/ripwright/clients/internal/replicas"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

func cloneOf[M proto.Message](m M) M { return proto.CloneOf(m) }

// runWithBook is Run and also gives the book.
func runWithBook(ctx context.Context, cfg Config) (*Report, *book, error) {
	l := newLine(cfg)
	r, err := l.run(ctx)
	return r, l.book, err
}

// build compiles the service for one test.
func build(t *testing.T) string {
	t.Helper()
	program, err := replicas.Build(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	return program
}

// launch starts a separate server that can be killed.
func launch(t *testing.T, program string) *replicas.Replica {
	t.Helper()
	r, err := replicas.Launch(program)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// Servers killed with SIGKILL at random points lose nothing and count nothing twice.
// RIPWRIGHT_KILLS sets the number of seeds; none without it.
func TestKilled(t *testing.T) {
	seeds, _ := strconv.Atoi(os.Getenv("RIPWRIGHT_KILLS"))
	if seeds == 0 {
		t.Skip("RIPWRIGHT_KILLS is not set")
	}
	binary := build(t)
	kills, two := 0, 0
	for seed := range uint64(seeds) {
		rng := rand.New(rand.NewPCG(seed, 77))
		servers := []*replicas.Replica{launch(t, binary), launch(t, binary)}
		turn := 0
		cfg := Config{Seed: 1000 + seed, Boards: 80, SetUp: SetUp(fmt.Sprint("killed ", seed)), Patience: time.Minute, Breaks: 0.08}
		if seed%4 > 1 {
			cfg.SetUp = SetUpOfOrders(cfg.SetUp.GetRunId())
			if seed%8 > 3 {
				cfg.SetUp.OverlapFromBoards = proto.Float64(1 + float64(seed%3))
			}
		}
		if seed%3 == 1 {
			cfg.SetUp.OutfeedBays = &ripwrightv1.OutfeedBays{Bays: 3, ChangeS: 40, MeasureEveryBoards: proto.Int32(2)}
		}
		cfg.Shift, cfg.Instructs = seed%5 < 2, seed%5 > 2
		if seed%2 == 1 {
			cfg.SetUp.ValuePlanning = &ripwrightv1.ValuePlanning{ReplanEveryBoards: proto.Int32(4), Expected: []*ripwrightv1.Board{Board(seed, 1000)}}
		}
		cfg.Dial = func(context.Context) (ripwrightv1.RipServiceClient, func(), error) {
			turn++
			return dial(servers[turn%2].GRPC)
		}
		cfg.Broke = func() {
			time.Sleep(time.Duration(rng.IntN(8)) * time.Millisecond) // at any point of its work
			servers[turn%2].Kill()
			servers[turn%2] = launch(t, binary)
			kills++
		}
		r, err := Run(t.Context(), cfg)
		for _, s := range servers {
			s.Kill()
		}
		sound(t, r, err, 80)
		two += r.Two
		if n := len(r.Summary.GetOrders()); seed%4 > 1 && (n != 3 || !r.Summary.GetOrders()[0].GetFull() || !r.Summary.GetOrders()[1].GetFull()) {
			t.Errorf("%d orders, of which one before the last is not full: %v", n, r.Summary.GetOrders())
		}
		if r.Values != nil && r.Values.GetNumber() == 0 && seed%4 < 2 { // following orders start with their own values
			t.Errorf("no values were planned: %v", r.Values)
		}
		if t.Failed() {
			t.Fatalf("seed %d", seed)
		}
	}
	if kills < seeds {
		t.Errorf("only %d kills in %d runs", kills, seeds)
	}
	if seeds > 6 && two == 0 {
		t.Error("no board served two orders")
	}
	t.Logf("%d runs, %d kills, %d boards for two orders", seeds, kills, two)
}
