package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"runtime"
	"runtime/debug"
	"runtime/pprof"
	"slices"
	"strings"
	"time"

	"golang.org/x/sys/unix"
	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/encoding"
	"google.golang.org/grpc/mem"
	"google.golang.org/grpc/metadata"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/proto"

	_ "github.com/ripwright/ripwright/proto/codec" // answers are encoded as they are sent
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/arrival"
	"github.com/ripwright/ripwright/server/fleet"
	ofline "github.com/ripwright/ripwright/server/line"
	ofmemory "github.com/ripwright/ripwright/server/memory"
	"github.com/ripwright/ripwright/server/metrics"
	"github.com/ripwright/ripwright/server/planning"
	ofservice "github.com/ripwright/ripwright/server/service"
	"github.com/ripwright/ripwright/server/workers"
	"go.uber.org/zap"
)

// watch is a clock that goes only while one thread has a processor, whatever else the
// machine does, and notes what is done between two looks at it. Deadlines in its time lie
// far beyond those of any other clock.
type watch struct {
	tid   int
	epoch time.Time

	end     time.Time // of the limit
	last    time.Time // look
	from    []uintptr // where that was
	longest time.Duration
	gap     [2][]uintptr // where the longest time without a look began and ended
	stopped time.Time    // the first look after the end
	label   context.Context
}

func (w *watch) read() time.Time {
	var t unix.Timespec
	// The clock of another thread, as pthread_getcpuclockid(3) has it on Linux.
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

// begin has a limit begin.
func (w *watch) begin(limit time.Duration) time.Time {
	t := w.read()
	w.end, w.last, w.longest, w.stopped = t.Add(limit), time.Time{}, 0, time.Time{}
	w.label = pprof.WithLabels(context.Background(), pprof.Labels("limit", "over"))
	return t
}

// over ends it and tells what was used beyond the limit, and of that since it was seen
// that it had ended.
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

// gone is the context of a caller who leaves once the thread has had so much. Only its
// error says so.
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

// within is the service in this process, all of which runs on one thread.
type within struct {
	watch    watch
	services map[string]func(ctx context.Context, decode func(any) error) (any, error)
	lines    *ofline.Server
	work     chan func()
}

func newWithin() (*within, error) {
	w := &within{work: make(chan func()), services: map[string]func(context.Context, func(any) error) (any, error){}}
	ready := make(chan struct{})
	go func() {
		runtime.LockOSThread()
		w.watch.tid = unix.Gettid()
		close(ready)
		for f := range w.work {
			f()
		}
	}()
	<-ready
	now := w.watch.now
	w.watch.epoch = time.Now().Add(1000 * time.Hour)
	m := metrics.New(now)
	saws, err := fleet.Open("", zap.NewNop(), m.Registry, time.Now)
	if err != nil {
		return nil, err
	}
	boards := ofservice.New(saws, ofservice.Config{Solves: 1, Waiting: 1, Longest: 10 * time.Second, Memory: ofmemory.Each(ofmemory.Searches(2), 2)}, m, now)
	desk := workers.New(workers.Config{Workers: 1, Waiting: 1}, m.Plans, now)
	plans := planning.New(saws, planning.Config{Workers: desk, Longest: 10 * time.Minute, Memory: ofmemory.Each(ofmemory.Searches(2), 2), Watch: m.Plans}, now)
	w.lines = ofline.New(ofline.Config{Saws: saws, Solver: boards, Watch: m, Now: now, Planner: plans, Closing: context.Background()})
	calls := struct {
		*ofservice.Service
		*ofline.Server
	}{boards, w.lines}
	for d, serves := range map[*grpc.ServiceDesc]any{&ripwrightv1.RipService_ServiceDesc: calls, &ripwrightv1.PlanningService_ServiceDesc: plans} {
		for _, c := range d.Methods {
			w.services[strings.TrimPrefix(d.ServiceName, "ripwright.v1.")+"/"+c.MethodName] = func(ctx context.Context, decode func(any) error) (any, error) {
				return c.Handler(serves, ctx, decode, nil)
			}
		}
	}
	return w, nil
}

// figures of one answer.
type figures struct {
	what string
	// beyond the limit, of that since it was seen that the limit had ended, and the
	// longest without a look at the clock.
	beyond, since, longest time.Duration
	gap                    [2][]uintptr
}

// one asks with a limit, or as a caller who leaves then, and gives what the answer used.
func (w *within) one(d *drawn, limit time.Duration, leaves bool) (f figures, err error) {
	ms := float64(limit) / float64(time.Millisecond)
	if leaves {
		ms = 5000
	}
	done := make(chan struct{})
	w.work <- func() {
		defer close(done)
		setLimit(d.request, ms)
		body, e := proto.Marshal(d.request)
		if err = e; err != nil {
			return
		}
		began := w.watch.begin(limit)
		ctx := arrival.With(context.Background(), began)
		if leaves {
			ctx = gone{ctx, &w.watch, began.Add(limit)}
		}
		answer, e := w.services[d.call.name](ctx, func(m any) error {
			return encoding.GetCodecV2("proto").Unmarshal(mem.BufferSlice{mem.SliceBuffer(body)}, m)
		})
		if err = e; err == nil {
			_, err = encoding.GetCodecV2("proto").Marshal(answer)
		}
		f.what, f.longest, f.gap = d.what, w.watch.longest, w.watch.gap
		f.beyond, f.since = w.watch.over()
	}
	<-done
	return f, err
}

// stream is a line's, both ends of it in this process.
type stream struct {
	w      *within
	limit  time.Duration
	up     chan *ripwrightv1.RunLineRequest
	down   chan figures
	closed context.Context
}

func (s *stream) Recv() (*ripwrightv1.RunLineRequest, error) {
	m, more := <-s.up
	if !more {
		return nil, io.EOF
	}
	s.w.watch.begin(s.limit)
	return m, nil
}

func (s *stream) Send(m *ripwrightv1.RunLineResponse) error {
	if _, err := encoding.GetCodecV2("proto").Marshal(m); err != nil {
		return err
	}
	f := figures{what: "RipService/RunLine", longest: s.w.watch.longest, gap: s.w.watch.gap}
	f.beyond, f.since = s.w.watch.over()
	if m.GetPlan() == nil {
		f.beyond = min(f.beyond, 0)
	}
	s.down <- f
	return nil
}

func (s *stream) Context() context.Context     { return s.closed }
func (s *stream) SendHeader(metadata.MD) error { return nil }
func (s *stream) SetHeader(metadata.MD) error  { return nil }
func (s *stream) SetTrailer(metadata.MD)       {}
func (s *stream) SendMsg(any) error            { return nil }
func (s *stream) RecvMsg(any) error            { return nil }

// board has a line answer one board within a limit.
func (w *within) board(g *genes, limit time.Duration) (f figures, err error) {
	j := g.job()
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	s := &stream{w: w, limit: limit, up: make(chan *ripwrightv1.RunLineRequest), down: make(chan figures), closed: ctx}
	ended := make(chan error, 1)
	w.work <- func() { ended <- w.lines.RunLine(s) }
	for n, m := range []*ripwrightv1.RunLineRequest{
		{Message: &ripwrightv1.RunLineRequest_SetUp{SetUp: &ripwrightv1.LineSetUp{RunId: "w",
			Order: j.order, Options: j.options, SawChoice: &ripwrightv1.LineSetUp_Saw{Saw: j.saw}}}},
		{Message: &ripwrightv1.RunLineRequest_Board{Board: &ripwrightv1.LineBoard{Board: j.board, AnswerWithinMs: given(float64(limit) / float64(time.Millisecond))}}},
	} {
		m.Sequence = int32(n + 1)
		s.up <- m
		select {
		case f = <-s.down:
		case err := <-ended:
			return f, err
		}
	}
	close(s.up)
	return f, <-ended
}

// beyond draws what limits draws and sees how much of a processor answers use beyond
// their limits, in this process, where nothing else on the machine counts but that it
// shares the processors' caches.
func beyond(o options) error {
	debug.SetMemoryLimit(460 << 20) // memoryLimit
	all, err := known()
	if err != nil {
		return err
	}
	w, err := newWithin()
	if err != nil {
		return err
	}
	if o.profile != "" {
		f, err := os.Create(o.profile)
		if err != nil {
			return err
		}
		defer func() { _ = f.Close() }() // it is for looking at
		if err := pprof.StartCPUProfile(f); err != nil {
			return err
		}
		defer pprof.StopCPUProfile()
	}
	r := rand.New(rand.NewPCG(o.seed, 5))
	of := map[string][]figures{}
	for n := range o.n {
		d := draw(r, all)
		again := 1
		if o.only >= 0 {
			if again = 10; n != o.only {
				continue
			}
		}
		kind := "answers"
		if d.plan {
			kind = "plans of whole orders"
		}
		for range again {
			for _, leaves := range []bool{false, true} {
				if leaves && (d.request == nil || n%5 != 0 && o.only < 0) {
					continue
				}
				f, err := w.ask(d, leaves)
				switch status.Code(err) {
				case codes.OK:
				case codes.Canceled: // it was left
				case codes.InvalidArgument, codes.DeadlineExceeded:
					continue
				default:
					return fmt.Errorf("%s, seed %d, request %d: %w", d.what, o.seed, n, err)
				}
				f.what = fmt.Sprintf("%s, request %d, limit %v", d.what, n, d.limit)
				if leaves {
					of["calls that are left"] = append(of["calls that are left"], f)
				} else {
					of[kind] = append(of[kind], f)
				}
				if o.verbose || o.only >= 0 {
					fmt.Println(&f)
				}
			}
		}
	}
	return errors.Join(used("answers", of, usual, most, o.slack), used("plans of whole orders", of, usual, most, o.slack), used("calls that are left", of, left, left, o.slack))
}

// ask has a request answered, within its limit or for a caller who leaves then.
func (w *within) ask(d *drawn, leaves bool) (figures, error) {
	if d.request == nil {
		return w.board(d.genes, d.limit)
	}
	if m, is := d.request.(*ripwrightv1.WatchQuoteRequest); is { // which has a goroutine of its own
		quote := *d
		quote.request, quote.call = m.GetQuote(), &calls[4]
		d = &quote
	}
	return w.one(d, d.limit, leaves)
}

func (f *figures) String() string {
	return fmt.Sprintf("%v beyond, %v since it was seen, %v without a look at most: %s\n      from %s\n        to %s", f.beyond.Round(time.Microsecond), f.since.Round(time.Microsecond),
		f.longest.Round(time.Microsecond), f.what, named(f.gap[0]), named(f.gap[1]))
}

// named gives the nearest callers.
func named(pcs []uintptr) string {
	frames := runtime.CallersFrames(pcs)
	var out []string
	for {
		f, more := frames.Next()
		name := f.Function[strings.LastIndex(f.Function, "/")+1:]
		if !strings.Contains(name, "(*watch)") && !strings.Contains(name, ".stopper.") && !strings.HasPrefix(name, "budget.") {
			out = append(out, fmt.Sprintf("%s:%d", name, f.Line))
		}
		if !more || len(out) == 5 {
			return strings.Join(out, " < ")
		}
	}
}

// mostTold is how many of the worst are told of.
const mostTold = 5

// used prints what was used beyond the limits and says whether that is too much.
func used(what string, of map[string][]figures, usual, most time.Duration, slack float64) error {
	all := of[what]
	if len(all) == 0 {
		return nil
	}
	slices.SortFunc(all, func(a, b figures) int { return cmp.Compare(a.beyond, b.beyond) })
	at := func(p float64) time.Duration {
		return all[min(int(p*float64(len(all))), len(all)-1)].beyond.Round(time.Microsecond)
	}
	fmt.Printf("%s, %d, of a processor beyond their limit: median %v, 90 %% %v, 99 %% %v, %g %% %v, last %v\n", what, len(all), at(0.5), at(0.9), at(0.99), 100*part, at(part), at(1))
	for i := range min(mostTold, len(all)) {
		fmt.Println("  ", &all[len(all)-1-i])
	}
	return promised(what, len(all), at(part), at(1), usual, most, slack)
}
