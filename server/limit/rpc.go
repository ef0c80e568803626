package limit

import (
	"context"
	"strings"
	"sync/atomic"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/grpc/tap"

	"github.com/ripwright/ripwright/server/caller"
)

// call is a gRPC call under way. Its context ends when its request does not come.
//
// An answer that is not taken holds the call, and so what is its caller's share,
// until its caller goes or the server stops: gRPC keeps what was not taken of a
// call that ends, so ending it would let a caller have more of them than that.
type call struct{ waiting *time.Timer }

type callKey struct{}

func callOf(ctx context.Context) *call {
	c, _ := ctx.Value(callKey{}).(*call)
	return c
}

// Tap takes or refuses a call when its headers have come and before anything else
// of it has.
func (l *Limits) Tap(who Who) tap.ServerInHandle {
	return func(ctx context.Context, info *tap.Info) (context.Context, error) {
		name := who.RPC(ctx, info.Header)
		ctx = caller.With(ctx, name)
		account := name
		if strings.HasPrefix(info.FullMethodName, "/grpc.health.") {
			account = "health " + name // probes get through when all else is taken
		}
		silent, err := l.enter(account)
		ctx, end := context.WithCancel(ctx)
		if err != nil {
			// gRPC keeps a refused call's time limit running, and with it some
			// memory. Not so that of one that is taken and ends at once.
			if _, limited := ctx.Deadline(); silent && limited {
				time.AfterFunc(0, end)
				return ctx, nil
			}
			end()
			return nil, err
		}
		c := &call{time.AfterFunc(l.cfg.Receive, end)}
		context.AfterFunc(ctx, func() {
			c.waiting.Stop()
			l.Leave(account)
		})
		return context.WithValue(ctx, callKey{}, c), nil
	}
}

// Unary is an interceptor of unary calls: the request is here.
func (*Limits) Unary(ctx context.Context, req any, _ *grpc.UnaryServerInfo, next grpc.UnaryHandler) (any, error) {
	if c := callOf(ctx); c != nil {
		c.waiting.Stop()
	}
	return next(ctx, req)
}

// Stream is an interceptor of streams. The first message has to come in time; the
// others may take as long as they like.
func (*Limits) Stream(srv any, s grpc.ServerStream, _ *grpc.StreamServerInfo, next grpc.StreamHandler) error {
	if c := callOf(s.Context()); c != nil {
		s = &stream{ServerStream: s, call: c}
	}
	return next(srv, s)
}

type stream struct {
	grpc.ServerStream
	call *call
	came atomic.Bool // its first message
}

// RecvMsg implements grpc.ServerStream.
func (s *stream) RecvMsg(m any) error {
	err := s.ServerStream.RecvMsg(m)
	if !s.came.Swap(true) {
		s.call.waiting.Stop()
	}
	return err
}
