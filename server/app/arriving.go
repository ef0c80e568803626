package app

import (
	"context"
	"slices"
	"time"

	"google.golang.org/grpc"

	"github.com/ripwright/ripwright/server/arrival"
)

// arriving has a service's unary calls know when their request had come whole: what it
// takes to decode counts towards their limits of time.
func arriving(d *grpc.ServiceDesc) *grpc.ServiceDesc {
	out := *d
	out.Methods = slices.Clone(d.Methods)
	for i := range out.Methods {
		m := &out.Methods[i]
		handle := m.Handler
		m.Handler = func(srv any, ctx context.Context, decode func(any) error, interceptor grpc.UnaryServerInterceptor) (any, error) {
			return handle(srv, arrival.With(ctx, time.Now()), decode, interceptor)
		}
	}
	return &out
}
