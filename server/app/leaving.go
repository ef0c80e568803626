package app

import (
	"context"
	"net/http"

	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/health"
	"google.golang.org/grpc/health/grpc_health_v1"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/refuse"
)

// leaving closes each HTTP caller's connection with its answer once the server is not
// ready any more, so that the caller reconnects to another replica. It does not close
// idle connections, as SetKeepAlivesEnabled would: a call may be on its way through one
// of them.
func leaving(next http.Handler, ready func() bool) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !ready() {
			w.Header().Set("Connection", "close")
		}
		next.ServeHTTP(w, r)
	})
}

// watchable is the health service with watches that end when the listeners close:
// otherwise they would last as long as their callers like and hold up the drain, which
// waits for calls under way.
type watchable struct {
	*health.Server
	closing context.Context
}

// Watch implements the call of that name.
func (w watchable) Watch(r *grpc_health_v1.HealthCheckRequest, s grpc.ServerStreamingServer[grpc_health_v1.HealthCheckResponse]) error {
	ctx, cancel := context.WithCancel(s.Context())
	defer cancel()
	defer context.AfterFunc(w.closing, cancel)()
	err := w.Server.Watch(r, watch{s, ctx})
	if w.closing.Err() != nil && s.Context().Err() == nil {
		return refuse.With(codes.Unavailable, ripwrightv1.ErrorReason_ERROR_REASON_STOPPING, "the server is stopping")
	}
	return err
}

// watch is a stream whose context ends earlier.
type watch struct {
	grpc.ServerStreamingServer[grpc_health_v1.HealthCheckResponse]
	ctx context.Context
}

func (w watch) Context() context.Context { return w.ctx }
