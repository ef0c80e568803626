package gate

import (
	"context"
	"fmt"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"

	"github.com/ripwright/ripwright/server/caller"
)

// A gate admits as many as it has slots, lets as many wait as it has places, and refuses
// the rest; whoever leaves or gives up makes room.
func TestGate(t *testing.T) {
	g := New(1, 1, "boards", time.Second)
	if err := g.Enter(t.Context()); err != nil {
		t.Fatal(err)
	}
	ctx, giveUp := context.WithCancel(t.Context())
	waited := make(chan error)
	go func() { waited <- g.Enter(ctx) }()
	for g.Waiting() == 0 { // until the second one waits
		select {
		case err := <-waited:
			t.Fatalf("did not wait: %v", err)
		default:
		}
	}
	if err := g.Enter(t.Context()); status.Code(err) != codes.ResourceExhausted || status.Convert(err).Message() != "too many boards are waiting" {
		t.Errorf("a third board: %v", err)
	}
	giveUp()
	if err := <-waited; status.Code(err) != codes.Canceled {
		t.Errorf("the caller that gave up: %v", err)
	}
	if n := g.Waiting(); n != 0 {
		t.Fatalf("%d wait", n)
	}
	go func() { waited <- g.Enter(t.Context()) }()
	g.Leave()
	if err := <-waited; err != nil {
		t.Errorf("after one left: %v", err)
	}
	g.Leave()
}

// A caller whose time runs out while it waits is told so, not that the service is busy.
func TestGateKeepsDeadlines(t *testing.T) {
	g := New(1, 1, "boards", time.Second)
	if err := g.Enter(t.Context()); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(t.Context(), 1)
	defer cancel()
	if err := g.Enter(ctx); status.Code(err) != codes.DeadlineExceeded {
		t.Error(err)
	}
}

// Callers take turns, however much one of them sends, and each has its own bound in the
// queue.
func TestGateTakesTurns(t *testing.T) {
	var refused []string
	g := New(1, 8, "boards", time.Second).Share(4, func(name string, own bool) { refused = append(refused, fmt.Sprint(name, own)) })
	if err := g.Enter(t.Context()); err != nil {
		t.Fatal(err)
	}
	served := make(chan string, 8)
	wait := func(name string) {
		before := g.Waiting()
		go func() {
			if err := g.Enter(caller.With(t.Context(), name)); err != nil {
				t.Error(err)
			}
			served <- name
		}()
		for g.Waiting() == before { // until it waits
		}
	}
	for range 4 {
		wait("many")
	}
	if err := g.Enter(caller.With(t.Context(), "many")); status.Code(err) != codes.ResourceExhausted {
		t.Errorf("a fifth of one caller: %v", err)
	}
	for _, name := range []string{"one", "two", "two", "four"} {
		wait(name)
	}
	if err := g.Enter(caller.With(t.Context(), "nine")); status.Code(err) != codes.ResourceExhausted {
		t.Errorf("a ninth of all: %v", err)
	}
	var got []string
	for range 8 {
		g.Leave()
		got = append(got, <-served)
	}
	g.Leave()
	if want := []string{"many", "one", "two", "four", "many", "two", "many", "many"}; !slices.Equal(got, want) {
		t.Errorf("served %v, want %v", got, want)
	}
	if want := []string{"manytrue", "ninefalse"}; !slices.Equal(refused, want) || g.Taken() != 0 || g.Waiting() != 0 {
		t.Errorf("refused %v, want %v; %d taken, %d wait", refused, want, g.Taken(), g.Waiting())
	}
}

// However callers come, wait, give up and leave, never more are in than there are slots,
// and in the end all are free.
func TestGateUnderPressure(t *testing.T) {
	g := New(3, 20, "boards", time.Second).Share(8, func(string, bool) {})
	var in, most atomic.Int64
	var all sync.WaitGroup
	for i := range 60 {
		all.Go(func() {
			for n := range 200 {
				ctx, cancel := context.WithTimeout(caller.With(t.Context(), fmt.Sprint(i%5)), time.Duration(n%7)*100*time.Microsecond)
				if g.Enter(ctx) == nil {
					for now := in.Add(1); ; {
						if m := most.Load(); now <= m || most.CompareAndSwap(m, now) {
							break
						}
					}
					runtime.Gosched()
					in.Add(-1)
					g.Leave()
				}
				cancel()
			}
		})
	}
	all.Wait()
	if most.Load() > 3 || g.Taken() != 0 || g.Waiting() != 0 || len(g.lines) != 0 || len(g.turn) != 0 {
		t.Errorf("%d at once; %d taken, %d wait, %d lines, %d turns", most.Load(), g.Taken(), g.Waiting(), len(g.lines), len(g.turn))
	}
}
