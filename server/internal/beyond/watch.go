package main

import (
	"context"
	"os"
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

	page   time.Duration // that a page of memory takes when it is first used
	used   int64         // pages until the last look
	beyond float64       // pages first used after the end of the limit
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
	w.count(t)
	var at [40]uintptr
	here := at[:runtime.Callers(2, at[:])]
	if d := t.Sub(w.last); d > w.longest && !w.last.IsZero() {
		w.longest, w.gap = d, [2][]uintptr{w.from, slices.Clone(here)}
	}
	w.from = append(w.from[:0:0], here...)
	w.last = w.read()
	return t
}

// count counts the pages used since the last look. Those of the interval in which the
// limit ended belong to the time beyond it in proportion.
func (w *watch) count(t time.Time) {
	if unix.Gettid() != w.tid {
		return
	}
	n := pages()
	if after := t.Sub(w.end); after > 0 {
		share := 1.0
		if interval := t.Sub(w.last); !w.last.IsZero() && after < interval {
			share = after.Seconds() / interval.Seconds()
		}
		w.beyond += share * float64(n-w.used)
	}
	w.used = n
}

// pages gives how many pages of memory this thread was the first to use.
func pages() int64 {
	var r unix.Rusage
	if err := unix.Getrusage(unix.RUSAGE_THREAD, &r); err != nil {
		panic(err)
	}
	return r.Minflt
}

// touch measures what a page of memory takes when it is first used: 0.3 µs on most
// machines, up to 0.05 ms on a virtual one that gives free memory back to its host. The
// service promises nothing about that.
func (w *watch) touch() {
	const n = 4096
	m, err := unix.Mmap(-1, 0, n*os.Getpagesize(), unix.PROT_READ|unix.PROT_WRITE, unix.MAP_ANON|unix.MAP_PRIVATE)
	if err != nil {
		panic(err)
	}
	from, began := pages(), w.read()
	for i := range n {
		m[i*os.Getpagesize()] = 1
	}
	w.page = w.read().Sub(began) / time.Duration(max(pages()-from, 1))
	if err := unix.Munmap(m); err != nil {
		panic(err)
	}
}

// begin starts a limit.
func (w *watch) begin(limit time.Duration) time.Time {
	t := w.read()
	w.end, w.last, w.longest, w.stopped = t.Add(limit), time.Time{}, 0, time.Time{}
	w.used, w.beyond = pages(), 0
	w.label = pprof.WithLabels(context.Background(), pprof.Labels("limit", "over"))
	return t
}

// over ends it and gives the time used beyond the limit, without that for pages of memory
// that were first used then, and the part of it since its end was noticed.
func (w *watch) over() (beyond, since time.Duration) {
	t := w.read()
	w.count(t)
	beyond = t.Sub(w.end) - time.Duration(w.beyond*float64(w.page))
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
