package service

import (
	"context"
	"time"

	"github.com/ripwright/ripwright/server/caller"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/rip"
)

// Live plans a board of a live line within a time from its receipt (0: only its own
// limits hold). It returns how long the board waited and how long the search took. The
// line counts what the board holds. The error is a fault.List if the board cannot be
// planned at all, a *withhold.Error if the plan failed its check, which is not reported
// here, otherwise the status that SolveBoard would give.
func (s *Service) Live(ctx context.Context, j *wire.Job, received time.Time, within time.Duration) (r *rip.Result, waited, took time.Duration, err error) {
	line := ctx // the end of within does not mean that the client has left
	if within > 0 {
		var cancel context.CancelFunc
		ctx, cancel = context.WithDeadline(ctx, received.Add(within))
		defer cancel()
	}
	took, err = s.turn(ctx, j, 0, 0, func() (err error) {
		r, err = s.solve(line, j)
		return err
	})
	if err != nil {
		return nil, 0, 0, err
	}
	s.watch.Planned(caller.Of(ctx), j, r, took)
	return r, max(s.now().Sub(received)-took, 0), took, nil
}
