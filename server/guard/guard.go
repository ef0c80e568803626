// Package guard wraps every call over either transport: it counts the call, logs it and
// keeps a panic from taking the server down. It logs no content of a request or an
// answer.
package guard

import (
	"context"
	"runtime/debug"
	"time"

	"go.uber.org/zap"
	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"

	"github.com/ripwright/ripwright/server/caller"
	"github.com/ripwright/ripwright/server/refuse"
)

// Watcher is told about calls, for metrics.
type Watcher interface {
	Request(method, code string, took time.Duration)
	Panic()
}

// Guard makes interceptors.
type Guard struct {
	Log   *zap.Logger
	Watch Watcher
	Now   func() time.Time
}

// Unary is the interceptor of unary calls.
func (g *Guard) Unary(ctx context.Context, req any, info *grpc.UnaryServerInfo, next grpc.UnaryHandler) (answer any, err error) {
	defer g.watch(ctx, info.FullMethod, &err)()
	echoUnary(ctx)
	if err := unread(req); err != nil {
		return nil, err
	}
	if l := Unknown(req); len(l) > 0 {
		return nil, refuse.Faults(l)
	}
	return next(ctx, req)
}

// Stream is the interceptor of streams.
func (g *Guard) Stream(srv any, s grpc.ServerStream, info *grpc.StreamServerInfo, next grpc.StreamHandler) (err error) {
	defer g.watch(s.Context(), info.FullMethod, &err)()
	echoStream(s)
	// A line checks the fields of each of its messages itself.
	return next(srv, known{s, !info.IsClientStream})
}

// watch starts the clock; the function that it returns is deferred and ends the call.
func (g *Guard) watch(ctx context.Context, method string, err *error) func() {
	start := g.Now()
	return func() {
		if p := recover(); p != nil {
			g.Watch.Panic()
			// The panic's value could quote the request, so only its place is logged.
			stack := debug.Stack()
			if o, ok := p.(interface{ Origin() []byte }); ok {
				stack = o.Origin()
			}
			g.Log.Error("panic", zap.String("method", method), zap.ByteString("stack", stack))
			*err = refuse.Internal()
		}
		*err = refuse.Explained(*err)
		took, code := g.Now().Sub(start), status.Code(*err)
		g.Watch.Request(method, code.String(), took)
		level := zap.DebugLevel
		switch code {
		case codes.OK:
		case codes.Internal, codes.Unknown, codes.DataLoss:
			level = zap.ErrorLevel
		default:
			level = zap.InfoLevel
		}
		if e := g.Log.Check(level, "call"); e != nil {
			if who := caller.Of(ctx); who != "" && g.Log.Core().Enabled(zap.DebugLevel) {
				e.Write(append(of(ctx), zap.String("caller", who), zap.String("method", method), zap.Stringer("code", code), zap.Duration("took", took))...)
				return
			}
			e.Write(append(of(ctx), zap.String("method", method), zap.Stringer("code", code), zap.Duration("took", took))...)
		}
	}
}
