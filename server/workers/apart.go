package workers

import (
	"fmt"
	"runtime"
	"runtime/debug"
)

// apart runs f on a thread of its own that leaves a core at once to a thread of
// ordinary priority, and returns when f has. Without that, a live board that
// comes while a plan has the core waits for the system's time slice, a few
// milliseconds, however short its own work. The thread ends with f, as no ordinary
// process may raise a priority that it has lowered. A panic of f comes out as a
// *Panic.
func apart(f func()) {
	ended := make(chan *Panic, 1)
	go func() {
		// Never unlocked: so the thread goes with the goroutine, and nothing else runs on it.
		runtime.LockOSThread()
		defer func() {
			var p *Panic
			if v := recover(); v != nil {
				p = panicOf(v)
			}
			ended <- p
		}()
		giveWay()
		f()
	}()
	if p := <-ended; p != nil {
		panic(p)
	}
}

// Panic is what panics that come from another goroutine than their call's are.
type Panic struct {
	Value any
	// Stack is where it happened; where it comes out says nothing about it.
	Stack []byte
}

// panicOf is called by what recovers v.
func panicOf(v any) *Panic {
	if p, ok := v.(*Panic); ok {
		return p
	}
	return &Panic{v, debug.Stack()}
}

// Error implements error.
func (p *Panic) Error() string { return fmt.Sprintf("%v\n%s", p.Value, p.Stack) }

// Origin is the stack of where it happened.
func (p *Panic) Origin() []byte { return p.Stack }

// Room lets so many workers run beside live boards, and is called once, before
// either do. Go runs as many goroutines at once as there are cores; where workers
// could have all of those places a board would wait for a worker to end, not only for
// a core, so there are as many places more.
func Room(workers int) {
	if workers >= cores {
		runtime.GOMAXPROCS(cores + workers)
	}
}
