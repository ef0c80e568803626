package service

import (
	"context"
	"time"
)

// The reserve is the part of a caller's time kept for the answer: to write the plan, send
// it and, for JSON, translate it. A tenth, but no less than a slow moment of the
// scheduler takes and no more than it ever needs.
const (
	leastReserve = 2 * time.Millisecond
	mostReserve  = 50 * time.Millisecond
)

// stopper gives the search's Stop: true once own (0: none) or most has passed since
// start, once the deadline of ctx is near, or when the caller has left.
func stopper(ctx context.Context, now func() time.Time, start time.Time, own, most time.Duration) func() bool {
	return until(ctx, now, ending(ctx, start, own, most))
}

// halfway gives the Stop of a search that must leave half of the remaining time.
func halfway(ctx context.Context, now func() time.Time, start time.Time, own, most time.Duration) func() bool {
	from := now()
	return until(ctx, now, from.Add(ending(ctx, start, own, most).Sub(from)/2))
}

func until(ctx context.Context, now func() time.Time, end time.Time) func() bool {
	return func() bool { return !now().Before(end) || ctx.Err() != nil }
}

// ending is when a search must end.
func ending(ctx context.Context, start time.Time, own, most time.Duration) time.Time {
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
	return end
}
