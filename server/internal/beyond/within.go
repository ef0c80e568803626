package main

import (
	"context"
	"runtime"
	"strings"
	"time"

	"go.uber.org/zap"
	"golang.org/x/sys/unix"
	"google.golang.org/grpc"
	"google.golang.org/grpc/encoding"
	"google.golang.org/grpc/mem"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/arrival"
	"github.com/ripwright/ripwright/server/fleet"
	"github.com/ripwright/ripwright/server/line"
	"github.com/ripwright/ripwright/server/memory"
	"github.com/ripwright/ripwright/server/metrics"
	"github.com/ripwright/ripwright/server/planning"
	"github.com/ripwright/ripwright/server/service"
	"github.com/ripwright/ripwright/server/workers"
	"github.com/ripwright/ripwright/testdata/requests"
)

// within is the service in this process, all on one thread.
type within struct {
	watch    watch
	services map[string]func(ctx context.Context, decode func(any) error) (any, error)
	lines    *line.Server
	work     chan func()
}

func newWithin() (*within, error) {
	w := &within{work: make(chan func()), services: map[string]func(context.Context, func(any) error) (any, error){}}
	ready := make(chan struct{})
	go func() {
		runtime.LockOSThread()
		w.watch.tid = unix.Gettid()
		w.watch.touch()
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
	boards := service.New(saws, service.Config{Solves: 1, Waiting: 1, Longest: 10 * time.Second, Memory: memory.Each(memory.Searches(2), 2)}, m, now)
	desk := workers.New(workers.Config{Workers: 1, Waiting: 1}, m.Plans, now)
	plans := planning.New(saws, planning.Config{Workers: desk, Longest: 10 * time.Minute, Memory: memory.Each(memory.Searches(2), 2), Watch: m.Plans}, now)
	w.lines = line.New(line.Config{Saws: saws, Solver: boards, Watch: m, Now: now, Planner: plans, Closing: context.Background()})
	calls := struct {
		*service.Service
		*line.Server
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

// one sends a request with a limit, or as a caller that cancels then, and gives what the
// answer used.
func (w *within) one(d *requests.Drawn, limit time.Duration, leaves bool) (f figures, err error) {
	ms := float64(limit) / float64(time.Millisecond)
	if leaves {
		ms = 5000
	}
	done := make(chan struct{})
	w.work <- func() {
		defer close(done)
		requests.SetLimit(d.Request, ms)
		body, e := proto.Marshal(d.Request)
		if err = e; err != nil {
			return
		}
		began := w.watch.begin(limit)
		ctx := arrival.With(context.Background(), began)
		if leaves {
			ctx = gone{ctx, &w.watch, began.Add(limit)}
		}
		answer, e := w.services[d.Call.Name](ctx, func(m any) error {
			return encoding.GetCodecV2("proto").Unmarshal(mem.BufferSlice{mem.SliceBuffer(body)}, m)
		})
		if err = e; err == nil {
			_, err = encoding.GetCodecV2("proto").Marshal(answer)
		}
		f.what, f.longest, f.gap = d.What, w.watch.longest, w.watch.gap
		f.beyond, f.since = w.watch.over()
	}
	<-done
	return f, err
}

// ask has a request answered, within its limit or for a caller that cancels then.
func (w *within) ask(d *requests.Drawn, leaves bool) (figures, error) {
	if d.Request == nil {
		return w.board(d.Genes, d.Limit)
	}
	if m, is := d.Request.(*ripwrightv1.WatchQuoteRequest); is { // which has its own goroutine
		quote := *d
		quote.Request, quote.Call = m.GetQuote(), &requests.Calls[4]
		d = &quote
	}
	return w.one(d, d.Limit, leaves)
}
