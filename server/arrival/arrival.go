// Package arrival carries the time at which a request had arrived whole from the
// transport that knows it to the limits of time that count from it.
package arrival

import (
	"context"
	"sync/atomic"
	"time"
)

type key struct{}

// moment is when a request had arrived, nil until then, and how long it has since waited
// for its turn to be read.
type moment struct {
	at     atomic.Pointer[time.Time]
	waited atomic.Int64
}

// With returns a context that knows when the request had arrived.
func With(ctx context.Context, at time.Time) context.Context {
	m := &moment{}
	m.at.Store(&at)
	return context.WithValue(ctx, key{}, m)
}

// Expect returns a context in which Came sets the time, unless it is known already.
func Expect(ctx context.Context) context.Context {
	if _, ok := ctx.Value(key{}).(*moment); ok {
		return ctx
	}
	return context.WithValue(ctx, key{}, &moment{})
}

// Came tells a context of Expect when its request had arrived. A time already known
// stays.
func Came(ctx context.Context, at time.Time) {
	if m, ok := ctx.Value(key{}).(*moment); ok {
		m.at.CompareAndSwap(nil, &at)
	}
}

// Wait records that a request waited for its turn: limits do not count that time.
func Wait(ctx context.Context, d time.Duration) {
	if m, ok := ctx.Value(key{}).(*moment); ok {
		m.waited.Add(int64(d))
	}
}

// Waited is how long the request has waited.
func Waited(ctx context.Context) time.Duration {
	if m, ok := ctx.Value(key{}).(*moment); ok {
		return time.Duration(m.waited.Load())
	}
	return 0
}

// Of gives the time from which limits count: when the request had arrived, plus its wait
// for its turn, or now if that is unknown.
func Of(ctx context.Context, now time.Time) time.Time {
	if m, ok := ctx.Value(key{}).(*moment); ok {
		if came := m.at.Load(); came != nil {
			if at := came.Add(Waited(ctx)); at.Before(now) {
				return at
			}
		}
	}
	return now
}

// Answer is how much of a request's own limit is kept for its answer: the time that
// reading it took, since a request that takes long to read takes about as long to check
// and to write out, but at most a tenth of the limit.
func Answer(read, limit time.Duration) time.Duration { return max(0, min(read, limit/10)) }
