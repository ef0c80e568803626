// Package planning answers the calls about whole orders. Planning is long; it
// works on fewer cores than there are, so that live boards do not wait for it,
// and ends as soon as its caller goes.
package planning

import (
	"context"
	"time"

	"google.golang.org/grpc/status"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/wire"
)

// Config bounds what planning may take.
type Config struct {
	Waiting int           // plans that may wait for their turn
	Longest time.Duration // the longest that one plan may take
}

// Defaults are bounds for a service that mostly serves live boards.
var Defaults = Config{Waiting: 16, Longest: 10 * time.Minute}

// Service implements ripwright.v1.PlanningService. It keeps nothing between
// calls and may be used by any number of goroutines.
type Service struct {
	ripwrightv1.UnimplementedPlanningServiceServer

	saws    wire.Saws
	cfg     Config
	workers *Workers
	now     func() time.Time
}

// New makes a service.
func New(saws wire.Saws, cfg Config, now func() time.Time) *Service {
	return &Service{saws: saws, cfg: cfg, workers: NewWorkers(cfg.Waiting), now: now}
}

// reserve is what is kept of a caller's time to write the answer and send it.
const reserve = 50 * time.Millisecond

// turn waits for a worker and runs work on it. stop tells work when to end: the
// caller went, or its time, the request's or the service's is over.
func (s *Service) turn(ctx context.Context, own time.Duration, work func(stop func() bool) error) (time.Duration, error) {
	if err := s.workers.Enter(ctx); err != nil {
		return 0, err
	}
	defer s.workers.Leave()
	start := s.now()
	limit := s.cfg.Longest
	if own > 0 {
		limit = min(limit, own)
	}
	end := start.Add(limit)
	if d, ok := ctx.Deadline(); ok && d.Add(-reserve).Before(end) {
		end = d.Add(-reserve)
	}
	err := work(func() bool { return ctx.Err() != nil || !s.now().Before(end) })
	if gone := ctx.Err(); gone != nil {
		return 0, status.FromContextError(gone).Err()
	}
	return s.now().Sub(start), err
}

// Bounds on a planning of a live line's values: a line that has waited so long, or
// whose planning takes so long, is better served by the next.
const (
	lineWaits = 30 * time.Second
	lineTakes = 10 * time.Second
)

// Behind implements line.Planner.
func (s *Service) Behind(ctx context.Context, work func(stop func() bool, each func(n int, f func(int))) error) (time.Duration, error) {
	ctx, cancel := context.WithTimeout(ctx, lineWaits+lineTakes)
	defer cancel()
	return s.turn(ctx, lineTakes, func(stop func() bool) error { return work(stop, s.workers.Each) })
}
