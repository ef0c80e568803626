package front

import (
	"context"
	"strconv"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/grpc/metadata"
	"google.golang.org/protobuf/proto"

	"github.com/ripwright/ripwright/server/arrival"
	"github.com/ripwright/ripwright/server/intake"
)

// arrivalKey tells the gRPC server behind the HTTP side when a body had arrived whole, in
// nanoseconds: reading it from then on counts towards the time limit.
const arrivalKey = "ripwright-arrival"

// came is when a body had arrived whole; the context of its call refers to it.
type came struct{ at time.Time }

type cameKey struct{}

// Arrived is an interceptor of the connection to that server.
func Arrived(ctx context.Context, method string, req, reply any, cc *grpc.ClientConn, next grpc.UnaryInvoker, opts ...grpc.CallOption) error {
	err := next(telling(ctx), method, req, reply, cc, opts...)
	// The answer waits for the caller, as a message and as JSON.
	if on, m := callOf(ctx), asMessage(reply); err == nil && on != nil && m != nil && !on.account.Take(asJSON*int64(proto.Size(m))) {
		return intake.Full()
	}
	return err
}

// ArrivedStream does the same for streams.
func ArrivedStream(ctx context.Context, d *grpc.StreamDesc, cc *grpc.ClientConn, method string, next grpc.Streamer, opts ...grpc.CallOption) (grpc.ClientStream, error) {
	return next(telling(ctx), d, cc, method, opts...)
}

func telling(ctx context.Context) context.Context {
	if c, ok := ctx.Value(cameKey{}).(*came); ok && !c.at.IsZero() {
		return metadata.AppendToOutgoingContext(ctx, arrivalKey, strconv.FormatInt(c.at.UnixNano(), 10))
	}
	return ctx
}

// asJSON is how many times a message's protobuf size is held while it is written as JSON
// and sent.
const asJSON = 6

func asMessage(v any) proto.Message {
	m, _ := v.(proto.Message)
	return m
}

func withArrival(ctx context.Context) context.Context {
	if said := metadata.ValueFromIncomingContext(ctx, arrivalKey); len(said) == 1 {
		if ns, err := strconv.ParseInt(said[0], 10, 64); err == nil {
			ctx, waited := arrival.With(ctx, time.Unix(0, ns)), arrival.Waited(ctx)
			arrival.Wait(ctx, waited)
			return ctx
		}
	}
	return ctx
}
