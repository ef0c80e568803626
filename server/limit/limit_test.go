package limit

import (
	"fmt"
	"net"
	"slices"
	"sync"
	"testing"
	"time"

	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
)

// refusals are what a watcher was told.
type refusals struct {
	mu  sync.Mutex
	all []string
}

func (r *refusals) TurnedAway(caller, limit string) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.all = append(r.all, caller+" "+limit)
}

func TestCalls(t *testing.T) {
	var seen refusals
	l := New(Config{Calls: 3, CallerCalls: 2}, &seen, time.Now)
	for _, step := range []struct {
		leave  bool
		caller string
		code   codes.Code
	}{
		{false, "a", codes.OK}, {false, "a", codes.OK}, {false, "a", codes.ResourceExhausted},
		{false, "b", codes.OK}, {false, "b", codes.ResourceExhausted}, {false, "c", codes.ResourceExhausted},
		{false, health + "c", codes.OK}, {true, health + "c", 0},
		{true, "a", 0}, {false, "c", codes.OK},
	} {
		if step.leave {
			l.Leave(step.caller)
		} else if err := l.Enter(step.caller); status.Code(err) != step.code {
			t.Errorf("%s: %v, want %v", step.caller, err, step.code)
		}
	}
	if want := []string{"a caller_calls", "b calls", "c calls"}; !slices.Equal(seen.all, want) {
		t.Errorf("refused %q, want %q", seen.all, want)
	}
	for _, caller := range []string{"a", "b", "c"} {
		l.Leave(caller)
	}
	if len(l.by) != 0 || l.calls != 0 {
		t.Errorf("%d callers and %d calls are left", len(l.by), l.calls)
	}
}

// A caller that is refused again and again is given a reason up to a number of times in a
// minute, and again in the next minute.
func TestTellingEnds(t *testing.T) {
	now := time.Unix(1000, 0)
	l := New(Config{CallerCalls: 1}, &refusals{}, func() time.Time { return now })
	if err := l.Enter("a"); err != nil {
		t.Fatal(err)
	}
	refused := func() bool {
		silent, err := l.enter("a")
		if err == nil {
			t.Fatal("let in")
		}
		return silent
	}
	for i := range mostTold {
		if refused() {
			t.Fatalf("silent after %d", i)
		}
	}
	if !refused() {
		t.Error("still told")
	}
	now = now.Add(time.Minute + time.Second)
	if refused() {
		t.Error("silent in the next minute")
	}
}

// Callers come and go at once, and no trace of them is left.
func TestCallsUnderPressure(t *testing.T) {
	l := New(Config{Calls: 20, CallerCalls: 3}, &refusals{}, time.Now)
	var all sync.WaitGroup
	for i := range 40 {
		all.Go(func() {
			name := fmt.Sprint(i % 8)
			for range 500 {
				if l.Enter(name) == nil {
					l.Leave(name)
				}
			}
		})
	}
	all.Wait()
	if len(l.by) != 0 || l.calls != 0 {
		t.Errorf("%d callers and %d calls are left", len(l.by), l.calls)
	}
}

// A connection counts once, until it is closed.
func TestConnections(t *testing.T) {
	on, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	var seen refusals
	l := New(Config{Connections: 2}, &seen, time.Now)
	in := l.Listen(on)
	defer func() { _ = in.Close() }()
	accept := func() net.Conn {
		t.Helper()
		out, err := net.Dial("tcp", on.Addr().String())
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { _ = out.Close() })
		c, err := in.Accept()
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
	first, second := accept(), accept()
	third, err := net.Dial("tcp", on.Addr().String())
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = third.Close() }()
	closed := make(chan error, 1)
	go func() {
		_, err := third.Read(make([]byte, 1))
		closed <- err
		_ = first.Close()
		_ = first.Close()
	}()
	go func() {
		if <-closed == nil {
			t.Error("a connection too many was kept")
		}
		for l.open() == 2 { // until one is closed
		}
		out, err := net.Dial("tcp", on.Addr().String())
		if err != nil {
			t.Error(err)
			return
		}
		t.Cleanup(func() { _ = out.Close() })
	}()
	fourth, err := in.Accept() // refuses the third and waits for room
	if err != nil {
		t.Fatal(err)
	}
	_, _ = second.Close(), fourth.Close()
	if l.connections != 0 || len(l.from) != 0 || len(seen.all) != 1 {
		t.Errorf("%d connections of %d addresses are left; refused %q", l.connections, len(l.from), seen.all)
	}
}

func (l *Limits) open() int {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.connections
}
