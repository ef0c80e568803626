package service

import (
	"context"
	"errors"
	"time"

	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/proto"

	"github.com/ripwright/ripwright/server/arrival"
	"github.com/ripwright/ripwright/server/caller"
	"github.com/ripwright/ripwright/server/refuse"
	"github.com/ripwright/ripwright/server/traces"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/server/withhold"
	"github.com/ripwright/ripwright/solver/rip"
)

// retryAfter is about the time in which a full queue of live boards empties.
const retryAfter = 50 * time.Millisecond

// turn waits for a free solver and runs work on it, stopped in time to answer. holds is
// what the request holds meanwhile, in bytes; write is the part of its own limit kept for
// writing the answer, if that takes long. The error is a status, a fault.List or that of
// work.
func (s *Service) turn(ctx context.Context, j *wire.Job, holds int64, write time.Duration, work func() error) (time.Duration, error) {
	take, done := s.cfg.Room.Part(ctx)
	defer done()
	if !take(holds) {
		s.watch.Shed()
		s.watch.TurnedAway(caller.Of(ctx), "memory")
		return 0, refuse.Busy("waiting boards have reached their memory limit", retryAfter)
	}
	asked, waited := s.now(), traces.Begin(ctx, "wait for a solver")
	read := asked.Sub(arrival.Of(ctx, asked))
	err := s.enter(ctx, j)
	waited()
	if err != nil {
		return 0, err
	}
	defer s.gate.Leave()
	start := s.now()
	s.watch.Waited(start.Sub(asked))
	if err := here(ctx); err != nil {
		return 0, err
	}
	j.Options.Memory = s.cfg.Memory
	// Limits count from when the request had arrived, less the time that it waited.
	write += arrival.Answer(read, j.TimeLimit)
	j.Options.Stop = stopper(ctx, s.now, start.Add(-read-write), j.TimeLimit, s.cfg.Longest)
	if j.Instructed() != nil || j.ServesTwo() {
		j.Half = halfway(ctx, s.now, start.Add(-read-write), j.TimeLimit, s.cfg.Longest)
	}
	s.watch.Solving(1)
	defer s.watch.Solving(-1)
	defer traces.Begin(ctx, "solve")()
	if err := work(); err != nil {
		return 0, err
	}
	return s.now().Sub(start), nil
}

// enter waits for a free solver. Faults that take much work to find are sought here if
// the request must wait, so that a full queue hides none; otherwise the search finds
// them.
func (s *Service) enter(ctx context.Context, j *wire.Job) error {
	waits := s.gate.Taken() == s.gate.Slots()
	if waits {
		if l := j.Problem.CutFaults(); len(l) > 0 {
			return l
		}
	}
	err := s.gate.Enter(ctx)
	if err != nil && !waits {
		if l := j.Problem.CutFaults(); len(l) > 0 {
			return l
		}
	}
	return err
}

// solve gives a result that passed its check. If the caller has left meanwhile nothing is
// checked.
func (s *Service) solve(ctx context.Context, j *wire.Job) (*rip.Result, error) {
	r, err := s.cfg.Solver.Solve(j)
	if err == nil {
		err = here(ctx)
	}
	if err == nil {
		err = withhold.Result(j, r)
	}
	return r, err
}

// here gives the status for a caller that has left meanwhile.
func here(ctx context.Context) error { return status.FromContextError(ctx.Err()).Err() }

// failed gives the status for an error of a turn, and reports a withheld plan.
func (s *Service) failed(ctx context.Context, call string, asked proto.Message, err error) error {
	var w *withhold.Error
	if errors.As(err, &w) {
		s.cfg.Withheld.Tell(ctx, call, asked, w)
	}
	if _, is := status.FromError(err); is {
		return err
	}
	return refuse.Error(err)
}
