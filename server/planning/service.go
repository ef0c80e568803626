// Package planning answers the calls about whole orders. Planning is long; it
// works on fewer cores than there are, so that live boards do not wait for it,
// and ends as soon as its caller goes.
package planning

import (
	"context"
	"errors"
	"sync/atomic"
	"time"

	"google.golang.org/grpc/status"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/arrival"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/server/workers"
	"github.com/ripwright/ripwright/solver/planning/replan"
	"github.com/ripwright/ripwright/solver/planning/values"
)

// Config of planning.
type Config struct {
	Workers *workers.Workers
	Longest time.Duration // the longest that one plan may take
	Memory  int64         // bytes of the search for one board; 0: rip.DefaultMemory
	Watch   Watcher
}

// Watcher is told what plans come to, for metrics.
type Watcher interface {
	// Solved counts the boards that were solved for a call.
	Solved(call string, boards int64)
	// CutShort is told of a call that a limit of time ended before its work was done.
	CutShort(call string)
}

// Service implements ripwright.v1.PlanningService. It keeps nothing between
// calls and may be used by any number of goroutines.
type Service struct {
	ripwrightv1.UnimplementedPlanningServiceServer

	saws wire.Saws
	cfg  Config
	now  func() time.Time
}

// New makes a service.
func New(saws wire.Saws, cfg Config, now func() time.Time) *Service {
	return &Service{saws: saws, cfg: cfg, now: now}
}

// usualLimit is how long a quote or a planning of the arbor takes at most where the
// request does not say: what somebody waits for who asked once.
const usualLimit = 30 * time.Second

// limited gives the request's own limit of time, or the usual one.
func limited(p *wire.Parts, ms *float64) time.Duration {
	if ms == nil {
		return usualLimit
	}
	return p.Limit("time_limit_ms", ms)
}

// reserve is what is kept of a caller's time to write the answer and send it.
const reserve = 50 * time.Millisecond

// turn is one call's turn at a worker.
type turn struct {
	stop   func() bool // when to end: the caller went, or a time is over
	each   func(n int, f func(int))
	memory int64        // of the search for one board
	boards atomic.Int64 // solved
}

// options are those of a search for values in this turn.
func (t *turn) options(gap float64) values.Options {
	return values.Options{Stop: t.stop, Each: t.each, Memory: t.memory, Boards: &t.boards, Gap: gap}
}

// turn waits for a worker and runs work on it, within the caller's time, the
// request's own and the service's. holds is what the request holds meanwhile, in
// bytes. work reports whether it was cut short.
func (s *Service) turn(ctx context.Context, call string, holds int64, own time.Duration, work func(*turn) (cut bool, err error)) (took time.Duration, err error) {
	// Limits count from when the request had come, but for the time that it waited.
	asked := s.now()
	read := asked.Sub(arrival.Of(ctx, asked))
	err = s.cfg.Workers.Do(ctx, call, holds, func() error {
		start := s.now()
		limit := s.cfg.Longest
		if own > 0 {
			limit = min(limit, own)
		}
		end := start.Add(limit - read)
		if d, ok := ctx.Deadline(); ok && d.Add(-reserve).Before(end) {
			end = d.Add(-reserve)
		}
		t := &turn{each: s.cfg.Workers.Each, memory: s.cfg.Memory, stop: func() bool { return ctx.Err() != nil || !s.now().Before(end) }}
		cut, err := work(t)
		s.cfg.Watch.Solved(call, t.boards.Load())
		if gone := ctx.Err(); gone != nil {
			return status.FromContextError(gone).Err()
		}
		if cut {
			s.cfg.Watch.CutShort(call)
		}
		took = s.now().Sub(start)
		return err
	})
	return took, err
}

// Bounds on a planning of a live line's values: a line that has waited so long, or
// whose planning takes so long, is better served by the next.
const (
	lineWaits = 30 * time.Second
	lineTakes = 10 * time.Second
	// lineHolds is what it holds: a sample of some dozens of thinned boards, and the
	// items once more.
	lineHolds = 1 << 20
)

// Behind implements line.Planner.
func (s *Service) Behind(ctx context.Context, work func(values.Options) error) (time.Duration, error) {
	ctx, cancel := context.WithTimeout(ctx, lineWaits+lineTakes)
	defer cancel()
	return s.turn(ctx, "RunLine", lineHolds, lineTakes, func(t *turn) (bool, error) {
		err := work(t.options(0))
		return errors.Is(err, replan.ErrStopped), err
	})
}
