// Package arrival carries when a request had come whole from where that is known to
// where limits of time count from.
package arrival

import (
	"context"
	"time"
)

type key struct{}

// With gives a context that knows when the request had come.
func With(ctx context.Context, at time.Time) context.Context {
	return context.WithValue(ctx, key{}, at)
}

// Of gives when it had come, or now where nobody has said.
func Of(ctx context.Context, now time.Time) time.Time {
	if at, ok := ctx.Value(key{}).(time.Time); ok && at.Before(now) {
		return at
	}
	return now
}
