package service

import (
	"context"
	"time"

	"github.com/ripwright/ripwright/server/caller"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/rip"
)

// Live plans a board of a live line within so long of when it was received (0: as
// long as its own limits allow). It tells how long the board waited and how long
// the search took. What the board holds is its line's to count. The error is a
// fault.List where the board cannot be planned at all, a *withhold.Error where the
// plan failed its check, which is not told of here, else the status that SolveBoard
// would give.
func (s *Service) Live(ctx context.Context, j *wire.Job, received time.Time, within time.Duration) (r *rip.Result, waited, took time.Duration, err error) {
	line := ctx // that within is over is not that its client has gone
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
