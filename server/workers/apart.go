package workers

import (
	"fmt"
	"runtime"
	"runtime/debug"
)

// apart runs f on a separate thread that yields a core at once to a thread of ordinary
// priority, and returns when f has. Otherwise a live board that arrives while a plan has
// the core would wait for the system's time slice, a few milliseconds, however short its
// own work. The thread ends with f, as no ordinary process may raise a priority that it
// has lowered. A panic of f is raised again as a *Panic.
func apart(f func()) {
	ended := make(chan *Panic, 1)
	go func() {
		// Never unlocked: the thread ends with the goroutine, and runs nothing else.
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

// Panic is the value of a panic from another goroutine than its call's.
type Panic struct {
	Value any
	// Stack is where it happened, which the place where it is raised again does not show.
	Stack []byte
}

// panicOf is called when v is recovered.
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

// Room lets workers run in addition to live boards, and is called once, before either do.
// Go runs as many goroutines at once as there are cores; if workers could have all of
// those places a board would wait for a worker to end, not only for a core, so as many
// places are added.
func Room(workers int) {
	if workers >= cores {
		runtime.GOMAXPROCS(cores + workers)
	}
}
