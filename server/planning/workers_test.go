package planning

import (
	"runtime"
	"sync/atomic"
	"testing"
	"time"

	"github.com/ripwright/ripwright/server/gate"
)

// All plans together keep at most one core fewer busy than there are.
func TestWorkersLeaveACore(t *testing.T) {
	w := NewWorkers(10)
	most := max(runtime.GOMAXPROCS(0)-1, 1)
	if w.Slots() != most {
		t.Fatalf("%d workers, want %d", w.Slots(), most)
	}
	w = &Workers{Gate: gate.New(3, 10, retryAfter)}
	var busy, peak, ran atomic.Int64
	ended := make(chan struct{})
	for range 5 {
		go func() {
			if err := w.Enter(t.Context()); err != nil {
				t.Error(err)
			}
			w.Each(40, func(int) {
				n := busy.Add(1)
				for p := peak.Load(); n > p && !peak.CompareAndSwap(p, n); p = peak.Load() {
				}
				time.Sleep(100 * time.Microsecond)
				ran.Add(1)
				busy.Add(-1)
			})
			w.Leave()
			ended <- struct{}{}
		}()
	}
	for range 5 {
		<-ended
	}
	if peak.Load() > 3 || ran.Load() != 200 || w.Taken() != 0 {
		t.Errorf("%d at once, %d ran, %d held", peak.Load(), ran.Load(), w.Taken())
	}
}

// A single core is let go between slices, for as long as it was kept.
func TestSingleCore(t *testing.T) {
	rests := 0
	w := &Workers{Gate: gate.New(1, 10, retryAfter), rest: func(d time.Duration) {
		if rests++; d < slice {
			t.Errorf("a rest of %v", d)
		}
	}}
	if err := w.Enter(t.Context()); err != nil {
		t.Fatal(err)
	}
	w.Each(5, func(int) { time.Sleep(2 * slice) })
	if rests != 5 {
		t.Errorf("%d rests after 5 slices", rests)
	}
}

// A panic on another worker comes out where the call's interceptor catches it.
func TestPanicComesOut(t *testing.T) {
	w := &Workers{Gate: gate.New(3, 10, retryAfter)}
	if err := w.Enter(t.Context()); err != nil {
		t.Fatal(err)
	}
	defer func() {
		if p := recover(); p != "boom" || w.Taken() != 1 {
			t.Errorf("%v, %d held", p, w.Taken())
		}
	}()
	w.Each(100, func(i int) {
		if i == 50 {
			panic("boom")
		}
	})
}
