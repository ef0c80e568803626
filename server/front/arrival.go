package front

import (
	"context"
	"strconv"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/grpc/metadata"

	"github.com/ripwright/ripwright/server/arrival"
)

// arrivalKey tells the gRPC server behind the HTTP side when a body had come whole, in
// nanoseconds: what is read of it from then on counts towards its limit of time.
const arrivalKey = "ripwright-arrival"

// came has when a body had come whole; its call's context knows where.
type came struct{ at time.Time }

type cameKey struct{}

// Arrived is an interceptor of the connection to that server.
func Arrived(ctx context.Context, method string, req, reply any, cc *grpc.ClientConn, next grpc.UnaryInvoker, opts ...grpc.CallOption) error {
	if c, ok := ctx.Value(cameKey{}).(*came); ok && !c.at.IsZero() {
		ctx = metadata.AppendToOutgoingContext(ctx, arrivalKey, strconv.FormatInt(c.at.UnixNano(), 10))
	}
	return next(ctx, method, req, reply, cc, opts...)
}

func withArrival(ctx context.Context) context.Context {
	if said := metadata.ValueFromIncomingContext(ctx, arrivalKey); len(said) == 1 {
		if ns, err := strconv.ParseInt(said[0], 10, 64); err == nil {
			return arrival.With(ctx, time.Unix(0, ns))
		}
	}
	return ctx
}
