package main

import (
	"context"
	"runtime"
	"runtime/pprof"
	"slices"
	"time"

	"golang.org/x/sys/unix"
)

// watch is a clock that runs only while one thread has a processor, whatever the load of
// the machine, and records what is done between two looks at it. Deadlines in its time
// are far beyond those of any other clock.
type watch struct {
	tid   int
	epoch time.Time

	end     time.Time // of the limit
	last    time.Time // look
	from    []uintptr // its place
	longest time.Duration
	gap     [2][]uintptr // where the longest interval without a look began and ended
	stopped time.Time    // the first look after the end
	label   context.Context
}

func (w *watch) read() time.Time {
	var t unix.Timespec
	// The clock of another thread, as by pthread_getcpuclockid(3) on Linux.
	if err := unix.ClockGettime(int32(^w.tid)<<3|6, &t); err != nil {
		panic(err)
	}
	return w.epoch.Add(time.Duration(t.Nano()))
}

// now is the service's clock.
func (w *watch) now() time.Time {
	t := w.read()
	if w.end.IsZero() {
		return t
	}
	if !t.Before(w.end) && w.stopped.IsZero() {
		w.stopped = t
		pprof.SetGoroutineLabels(w.label)
	}
	var at [40]uintptr
	here := at[:runtime.Callers(2, at[:])]
	if d := t.Sub(w.last); d > w.longest && !w.last.IsZero() {
		w.longest, w.gap = d, [2][]uintptr{w.from, slices.Clone(here)}
	}
	w.from = append(w.from[:0:0], here...)
	w.last = w.read()
	return t
}

// begin starts a limit.
func (w *watch) begin(limit time.Duration) time.Time {
	t := w.read()
	w.end, w.last, w.longest, w.stopped = t.Add(limit), time.Time{}, 0, time.Time{}
	w.label = pprof.WithLabels(context.Background(), pprof.Labels("limit", "over"))
	return t
}

// over ends it and gives the time used beyond the limit, and the part of that since its
// end was noticed.
func (w *watch) over() (beyond, since time.Duration) {
	t := w.read()
	beyond = t.Sub(w.end)
	if !w.stopped.IsZero() {
		since = t.Sub(w.stopped)
	}
	w.end = time.Time{}
	pprof.SetGoroutineLabels(context.Background())
	return beyond, since
}

// gone is the context of a caller that cancels once the thread has used a given time.
// Only its error shows it.
type gone struct {
	context.Context
	w  *watch
	at time.Time
}

func (g gone) Err() error {
	if !g.w.read().Before(g.at) {
		return context.Canceled
	}
	return nil
}
