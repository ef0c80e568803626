// Package arrival carries when a request had come whole from where that is known to
// where limits of time count from.
package arrival

import (
	"context"
	"sync/atomic"
	"time"
)

type key struct{}

// moment is when a request had come, nil before that, and for how long it waited since
// then for its turn to be read.
type moment struct {
	at     atomic.Pointer[time.Time]
	waited atomic.Int64
}

// With gives a context that knows when the request had come.
func With(ctx context.Context, at time.Time) context.Context {
	m := &moment{}
	m.at.Store(&at)
	return context.WithValue(ctx, key{}, m)
}

// Expect gives a context that Came will tell, unless it knows already.
func Expect(ctx context.Context) context.Context {
	if _, ok := ctx.Value(key{}).(*moment); ok {
		return ctx
	}
	return context.WithValue(ctx, key{}, &moment{})
}

// Came tells a context of Expect when its request had come. What is known already
// stands.
func Came(ctx context.Context, at time.Time) {
	if m, ok := ctx.Value(key{}).(*moment); ok {
		m.at.CompareAndSwap(nil, &at)
	}
}

// Wait says that a request waited for its turn: limits do not count that.
func Wait(ctx context.Context, d time.Duration) {
	if m, ok := ctx.Value(key{}).(*moment); ok {
		m.waited.Add(int64(d))
	}
}

// Waited is for how long it did.
func Waited(ctx context.Context) time.Duration {
	if m, ok := ctx.Value(key{}).(*moment); ok {
		return time.Duration(m.waited.Load())
	}
	return 0
}

// Of gives from when on limits count: when it had come, later by what it waited for its
// turn, or now where nobody has said.
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

// Answer is how much of a request's own limit is kept for its answer, where so much went
// into reading it: what is long to read is about as long to check and to write out. It is
// a tenth of the limit at most.
func Answer(read, limit time.Duration) time.Duration { return max(0, min(read, limit/10)) }
