package workers

import (
	"bytes"
	"context"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"

	"github.com/ripwright/ripwright/server/gate"
)

// seen keeps the sums of what a watcher was told.
type seen struct {
	mu                          sync.Mutex
	queued, working, busy, most int
	began, ended, away          int
	waited, took                time.Duration
}

func (s *seen) add(f func()) { s.mu.Lock(); defer s.mu.Unlock(); f() }

func (s *seen) Queued(_ string, n int)  { s.add(func() { s.queued += n }) }
func (s *seen) Working(_ string, n int) { s.add(func() { s.working += n }) }
func (s *seen) TurnedAway(string)       { s.add(func() { s.away++ }) }
func (s *seen) Busy(n int)              { s.add(func() { s.busy += n; s.most = max(s.most, s.busy) }) }

func (s *seen) Began(_ string, d time.Duration) { s.add(func() { s.began++; s.waited += d }) }
func (s *seen) Ended(_ string, d time.Duration) { s.add(func() { s.ended++; s.took += d }) }

func make3(s *seen) *Workers {
	return &Workers{gate: gate.New(3, 10, "plans and tallies", retryAfter), watch: s, now: time.Now}
}

// All calls together keep at most as many workers busy as there are, by default
// one fewer than cores.
func TestWorkersLeaveACore(t *testing.T) {
	var s seen
	if w := New(Config{Waiting: 10}, &s, time.Now); w.Slots() != Default() {
		t.Fatalf("%d workers, want %d", w.Slots(), Default())
	}
	w := make3(&s)
	var busy, peak, ran atomic.Int64
	ended := make(chan struct{})
	for range 5 {
		go func() {
			err := w.Do(t.Context(), "Quote", 0, func() error {
				w.Each(40, func(int) {
					n := busy.Add(1)
					for p := peak.Load(); n > p && !peak.CompareAndSwap(p, n); p = peak.Load() {
					}
					time.Sleep(100 * time.Microsecond)
					ran.Add(1)
					busy.Add(-1)
				})
				return nil
			})
			if err != nil {
				t.Error(err)
			}
			ended <- struct{}{}
		}()
	}
	for range 5 {
		<-ended
	}
	if peak.Load() > 3 || ran.Load() != 200 || w.Taken() != 0 {
		t.Errorf("%d at once, %d ran, %d held", peak.Load(), ran.Load(), w.Taken())
	}
	if s.queued != 0 || s.working != 0 || s.busy != 0 || s.most > 3 || s.began != 5 || s.ended != 5 || s.away != 0 || s.took <= 0 {
		t.Errorf("seen %+v", &s)
	}
}

// A single core is freed between slices, for as long as it was kept.
func TestSingleCore(t *testing.T) {
	rests := 0
	w := make3(&seen{})
	w.gate = gate.New(1, 10, "plans", retryAfter)
	w.rest = func(d time.Duration) {
		if rests++; d < slice {
			t.Errorf("a rest of %v", d)
		}
	}
	if err := w.Do(t.Context(), "Quote", 0, func() error {
		w.Each(5, func(int) { time.Sleep(2 * slice) })
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	if rests != 5 {
		t.Errorf("%d rests after 5 slices", rests)
	}
}

// A panic on another worker reaches the call's interceptor, and leaves no worker held.
func TestPanicComesOut(t *testing.T) {
	var s seen
	w := make3(&s)
	defer func() {
		p, ok := recover().(*Panic)
		if !ok || p.Value != "boom" || !bytes.Contains(p.Stack, []byte("TestPanicComesOut")) || w.Taken() != 0 || s.busy != 0 || s.working != 0 {
			t.Errorf("%v, %d held, seen %+v", p, w.Taken(), &s)
		}
	}()
	_ = w.Do(t.Context(), "Quote", 0, func() error {
		w.Each(100, func(i int) {
			if i == 50 {
				panic("boom")
			}
		})
		return nil
	})
}

// A call that cannot wait is refused, and counted; one whose caller leaves is not.
func TestTurnsAway(t *testing.T) {
	var s seen
	w := make3(&s)
	w.gate = gate.New(1, 0, "plans and tallies", retryAfter)
	err := w.Do(t.Context(), "Quote", 0, func() error {
		if err := w.Do(t.Context(), "Quote", 0, func() error { return nil }); status.Code(err) != codes.ResourceExhausted {
			t.Error(err)
		}
		gone, cancel := context.WithCancel(t.Context())
		cancel()
		w.gate = gate.New(1, 1, "plans and tallies", retryAfter)
		if !w.gate.Try() {
			t.Fatal("no worker is free")
		}
		if err := w.Do(gone, "Quote", 0, func() error { return nil }); status.Code(err) != codes.Canceled {
			t.Error(err)
		}
		return nil
	})
	if err != nil || s.away != 1 || s.queued != 0 || s.began != 1 {
		t.Errorf("%v, seen %+v", err, &s)
	}
}
