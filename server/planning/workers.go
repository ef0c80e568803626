package planning

import (
	"runtime"
	"sync"
	"sync/atomic"
	"time"

	"github.com/ripwright/ripwright/server/gate"
)

// Workers are the cores that planning may keep busy: one fewer than there are,
// so that a live board always finds one. On a single core there is one, which
// works in short slices and rests as long between them.
type Workers struct {
	*gate.Gate
	// rest lets go of a single core for a while; nil where there are more.
	rest func(time.Duration)
}

// slice is how long a single core is kept from live boards at a stretch; a board
// itself may take longer.
const slice = time.Millisecond

// retryAfter is a guess at when a plan ends.
const retryAfter = time.Second

// NewWorkers makes as many workers as the cores allow. waiting is how many plans
// may wait for one.
func NewWorkers(waiting int) *Workers {
	cores := runtime.GOMAXPROCS(0)
	w := &Workers{Gate: gate.New(max(cores-1, 1), waiting, retryAfter)}
	if cores == 1 {
		w.rest = time.Sleep
	}
	return w
}

// Each runs f(0) to f(n-1) on the caller's worker and on those that are free,
// and returns when all have ended. Others' plans come before a second worker for
// this one. A panic of f comes out of Each.
func (w *Workers) Each(n int, f func(i int)) {
	var next atomic.Int64
	var panicked atomic.Value
	run := func(more func() bool) {
		defer func() {
			if p := recover(); p != nil {
				panicked.CompareAndSwap(nil, p)
				next.Store(int64(n))
			}
		}()
		since := time.Now()
		for more() {
			i := int(next.Add(1)) - 1
			if i >= n {
				return
			}
			f(i)
			if took := time.Since(since); w.rest != nil && took >= slice {
				w.rest(took)
				since = time.Now()
			}
		}
	}
	var others sync.WaitGroup
	for range n - 1 {
		if !w.Try() {
			break
		}
		others.Go(func() {
			defer w.Leave()
			run(func() bool { return w.Waiting() == 0 })
		})
	}
	run(func() bool { return true })
	others.Wait()
	if p := panicked.Load(); p != nil {
		panic(p)
	}
}
