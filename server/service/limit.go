package service

import (
	"context"
	"time"
)

// The reserve is what is kept of a caller's time for the answer: to write the
// plan out, send it and, for JSON, translate it. A tenth, but no less than a
// slow moment of the scheduler takes and no more than it ever needs.
const (
	leastReserve = 2 * time.Millisecond
	mostReserve  = 50 * time.Millisecond
)

// stopper gives the search's Stop: true once own (0: none) or most has passed
// since start, once the deadline of ctx is near, or when the caller has gone.
func stopper(ctx context.Context, now func() time.Time, start time.Time, own, most time.Duration) func() bool {
	limit := most
	if own > 0 {
		limit = min(limit, own)
	}
	end := start.Add(limit)
	if d, ok := ctx.Deadline(); ok {
		reserve := min(max(d.Sub(start)/10, leastReserve), mostReserve)
		if d = d.Add(-reserve); d.Before(end) {
			end = d
		}
	}
	return func() bool { return !now().Before(end) || ctx.Err() != nil }
}
