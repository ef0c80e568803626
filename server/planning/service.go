// Package planning answers the calls about whole orders. Planning takes long; it uses
// fewer cores than there are, so that live boards do not wait for it, and ends as soon as
// its caller leaves.
package planning

import (
	"context"
	"errors"
	"sync/atomic"
	"time"

	"google.golang.org/grpc/status"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/arrival"
	"github.com/ripwright/ripwright/server/refuse"
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
	// OfLine is the longest that a planning of a live line's values may take: after that
	// the line is better served by the next one. 0: 10 s.
	OfLine time.Duration
	// Currency is the currency of requests that give none; empty: unknown.
	Currency string
	Watch    Watcher
}

// Watcher is told the results of plans, for metrics.
type Watcher interface {
	// Solved counts the boards that were solved for a call.
	Solved(call string, boards int64)
	// CutShort is told of a call that a time limit ended before its work was done.
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

// usualLimit is the time limit of a quote or a planning of the arbor whose request sets
// none: what somebody is willing to wait for a single answer.
const usualLimit = 30 * time.Second

// limited gives the request's own time limit, or the usual one.
func limited(p *wire.Parts, ms *float64) time.Duration {
	if ms == nil {
		return usualLimit
	}
	return p.Limit("time_limit_ms", ms)
}

// reserve is the part of a caller's time that is kept for writing and sending the answer.
const reserve = 50 * time.Millisecond

// turn is one call's turn at a worker.
type turn struct {
	stop   func() bool    // when to end: the caller has left, or a time limit has passed
	spent  func() float64 // the fraction of its time that has passed, 0 to 1
	each   func(n int, f func(int))
	memory int64        // of the search for one board
	boards atomic.Int64 // solved
}

// pricedWork limits the search for each board that is priced, in steps: few need as many,
// and no planning should wait for one that needs far more.
const pricedWork = 300_000

// options are those of a search for values in this turn.
func (t *turn) options(gap float64) values.Options {
	return values.Options{Stop: t.stop, Each: t.each, Memory: t.memory, Boards: &t.boards, Gap: gap, Work: pricedWork}
}

// waitedOut is when to retry after waiting took all of a request's time.
const waitedOut = time.Second

// turn waits for a worker and runs work on it, within the caller's deadline, the
// request's own limit, which includes waiting, and the service's limit for work alone.
// holds is what the request holds, in bytes. work reports whether it was cut short.
func (s *Service) turn(ctx context.Context, call string, holds int64, own time.Duration, work func(*turn) (cut bool, err error)) (took time.Duration, err error) {
	asked := s.now()
	came := arrival.Of(ctx, asked)
	wait := ctx
	if own > 0 {
		var cancel context.CancelFunc
		wait, cancel = context.WithTimeout(ctx, own-asked.Sub(came))
		defer cancel()
	}
	began := false
	err = s.cfg.Workers.Do(wait, call, holds, func() error {
		began = true
		start := s.now()
		end := start.Add(s.cfg.Longest - asked.Sub(came))
		if own > 0 {
			if by := came.Add(own - arrival.Answer(asked.Sub(came), own)); by.Before(end) {
				end = by
			}
		}
		if d, ok := ctx.Deadline(); ok && d.Add(-reserve).Before(end) {
			end = d.Add(-reserve)
		}
		t := &turn{each: s.cfg.Workers.Each, memory: s.cfg.Memory,
			stop:  func() bool { return ctx.Err() != nil || !s.now().Before(end) },
			spent: func() float64 { return min(max(float64(s.now().Sub(start))/float64(max(end.Sub(start), 1)), 0), 1) },
		}
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
	if !began && wait.Err() != nil && ctx.Err() == nil {
		return 0, refuse.Busy("the request's time limit passed while other planning kept every worker busy", waitedOut)
	}
	return took, err
}

// Bounds on a planning of a live line's values.
const (
	// lineWaits is how long one may wait for a worker.
	lineWaits = 30 * time.Second
	lineTakes = 10 * time.Second
	// lineHolds is what one holds, in bytes: a sample of some dozens of thinned boards,
	// and a copy of the items.
	lineHolds = 1 << 20
)

// Behind implements line.Planner.
func (s *Service) Behind(ctx context.Context, work func(values.Options) error) (time.Duration, error) {
	takes := s.cfg.OfLine
	if takes == 0 {
		takes = lineTakes
	}
	ctx, cancel := context.WithTimeout(ctx, lineWaits+takes)
	defer cancel()
	return s.turn(ctx, "RunLine", lineHolds, takes, func(t *turn) (bool, error) {
		err := work(t.options(0))
		return errors.Is(err, replan.ErrStopped), err
	})
}
