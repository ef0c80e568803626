// Package workers does the work that no saw waits for, plans of whole orders and tallies,
// on fewer cores than there are and on threads that give way: a live board always finds a
// core.
package workers

import (
	"context"
	"runtime"
	"sync"
	"sync/atomic"
	"time"

	"github.com/ripwright/ripwright/server/gate"
	"github.com/ripwright/ripwright/server/memory"
	"github.com/ripwright/ripwright/server/refuse"
)

// Config bounds what is done at once.
type Config struct {
	Workers int          // cores kept busy at most; 0: Default
	Waiting int          // calls that may wait for one of them, half of them one caller's
	Room    *memory.Room // that calls hold; nil: any amount
	// GiveWay runs them on threads that give way to live boards, and to all else on the
	// machine: on a busy machine they are slow.
	GiveWay bool
}

// cores is how many this process has, read before Room adds places.
var cores = runtime.GOMAXPROCS(0)

// Default is the number of workers that leaves a core to live boards. On a single core
// there is one, which works in short slices and rests as long between them.
func Default() int { return max(cores-1, 1) }

// Watcher is told the progress of calls, for metrics.
type Watcher interface {
	// Queued adds to the calls that wait, Working to those in progress.
	Queued(call string, n int)
	Working(call string, n int)
	// TurnedAway is told of a call that could not wait.
	TurnedAway(call string)
	// Began is told how long a call waited, Ended how long its work took.
	Began(call string, waited time.Duration)
	Ended(call string, took time.Duration)
	// Busy adds to the busy workers.
	Busy(n int)
}

// Unwatched is a Watcher that ignores everything.
type Unwatched struct{}

// Queued implements Watcher.
func (Unwatched) Queued(string, int) {}

// Working implements Watcher.
func (Unwatched) Working(string, int) {}

// TurnedAway implements Watcher.
func (Unwatched) TurnedAway(string) {}

// Began implements Watcher.
func (Unwatched) Began(string, time.Duration) {}

// Ended implements Watcher.
func (Unwatched) Ended(string, time.Duration) {}

// Busy implements Watcher.
func (Unwatched) Busy(int) {}

// Workers are shared by all such calls. They may be used by any number of goroutines.
type Workers struct {
	gate  *gate.Gate
	room  *memory.Room
	watch Watcher
	now   func() time.Time
	away  bool // work is done on threads that give way
	// rest frees a single core for a while; nil: there are more cores.
	rest func(time.Duration)
}

// slice is how long a single core is kept from live boards at a stretch; a board itself
// may take longer.
const slice = time.Millisecond

// retryAfter is a guess at when a plan ends.
const retryAfter = time.Second

// New makes workers.
func New(cfg Config, watch Watcher, now func() time.Time) *Workers {
	if cfg.Workers == 0 {
		cfg.Workers = Default()
	}
	// Do counts refused calls.
	queue := gate.New(cfg.Workers, cfg.Waiting, "plans and tallies", retryAfter).Share((cfg.Waiting+1)/2, func(string, bool) {})
	w := &Workers{gate: queue, room: cfg.Room, watch: watch, now: now, away: cfg.GiveWay}
	if cores == 1 {
		w.rest = time.Sleep
	}
	return w
}

// Do waits for a worker and does the work of a call on it, which holds that many bytes
// until its end. Its error is the work's, or the status of a call that could not wait or
// whose caller left. A panic of work comes out of Do.
func (w *Workers) Do(ctx context.Context, call string, holds int64, work func() error) (err error) {
	take, done := w.room.Part(ctx)
	defer done()
	if !take(holds) {
		w.watch.TurnedAway(call)
		return refuse.Busy("waiting plans and tallies have reached their memory limit", retryAfter)
	}
	asked := w.now()
	w.watch.Queued(call, 1)
	err = w.gate.Enter(ctx)
	w.watch.Queued(call, -1)
	if err != nil {
		if ctx.Err() == nil {
			w.watch.TurnedAway(call)
		}
		return err
	}
	start := w.now()
	w.watch.Began(call, start.Sub(asked))
	w.watch.Working(call, 1)
	w.watch.Busy(1)
	defer func() {
		w.watch.Busy(-1)
		w.watch.Working(call, -1)
		w.watch.Ended(call, w.now().Sub(start))
		w.gate.Leave()
	}()
	w.run(func() { err = work() })
	return err
}

// run does work, or a part of it, as configured.
func (w *Workers) run(work func()) {
	if w.away {
		apart(work)
	} else {
		work()
	}
}

// Each runs f(0) to f(n-1) on the worker of the calling call and on free ones, and
// returns when all have ended. Other calls come before a second worker for this one. A
// panic of f comes out of Each as a *Panic.
func (w *Workers) Each(n int, f func(i int)) {
	var next atomic.Int64
	var panicked atomic.Pointer[Panic]
	share := func(more func() bool) {
		defer func() {
			if p := recover(); p != nil {
				panicked.CompareAndSwap(nil, panicOf(p))
				next.Store(int64(n))
			}
		}()
		since := w.now()
		for more() {
			i := int(next.Add(1)) - 1
			if i >= n {
				return
			}
			f(i)
			if w.rest == nil {
				continue
			}
			if took := w.now().Sub(since); took >= slice {
				w.rest(took)
				since = w.now()
			}
		}
	}
	var others sync.WaitGroup
	for range n - 1 {
		if !w.gate.Try() {
			break
		}
		w.watch.Busy(1)
		others.Go(func() {
			defer func() {
				w.watch.Busy(-1)
				w.gate.Leave()
			}()
			w.run(func() { share(func() bool { return w.gate.Waiting() == 0 }) })
		})
	}
	share(func() bool { return true })
	others.Wait()
	if p := panicked.Load(); p != nil {
		panic(p)
	}
}

// Taken is how many workers are busy.
func (w *Workers) Taken() int { return w.gate.Taken() }

// Slots is how many workers there are.
func (w *Workers) Slots() int { return w.gate.Slots() }

// State reports how full they are, with at most that many of the callers that wait.
func (w *Workers) State(callers int) gate.State { return w.gate.State(callers) }

// Waiting is how many calls wait for a worker.
func (w *Workers) Waiting() int64 { return w.gate.Waiting() }
