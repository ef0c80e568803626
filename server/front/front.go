// Package front answers HTTP: the calls as JSON, the description of the
// interface, metrics and health.
//
// JSON calls are translated and sent through a gRPC connection, never straight
// to the service, so that they meet every interceptor that gRPC callers meet.
package front

import (
	"context"
	"errors"
	"io"
	"net/http"

	"github.com/grpc-ecosystem/grpc-gateway/v2/runtime"
	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/promhttp"
	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"

	"github.com/ripwright/ripwright/proto"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// Config of the HTTP side.
type Config struct {
	Conn     *grpc.ClientConn // to the gRPC server
	Registry *prometheus.Registry
	Ready    func() bool // whether new work is welcome
	MaxBody  int64       // bytes
}

// New makes the handler of all paths.
func New(ctx context.Context, c Config) (http.Handler, error) {
	calls := runtime.NewServeMux(
		runtime.WithMarshalerOption(runtime.MIMEWildcard, newCodec()),
		runtime.WithErrorHandler(onError),
		runtime.WithRoutingErrorHandler(onRoute),
		// A method is a method: no form posts, no method named in a header.
		runtime.WithDisablePathLengthFallback(),
		// Nothing of a caller's HTTP headers is passed on but the time limit,
		// which the gateway reads itself.
		runtime.WithIncomingHeaderMatcher(func(string) (string, bool) { return "", false }),
		runtime.WithOutgoingHeaderMatcher(func(string) (string, bool) { return "", false }),
	)
	if err := ripwrightv1.RegisterRipServiceHandler(ctx, calls, c.Conn); err != nil {
		return nil, err
	}
	if err := ripwrightv1.RegisterPlanningServiceHandler(ctx, calls, c.Conn); err != nil {
		return nil, err
	}
	mux := http.NewServeMux()
	mux.Handle("/", withBody(calls, c.MaxBody))
	mux.HandleFunc("GET /openapi.yaml", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "application/yaml")
		_, _ = w.Write(proto.OpenAPI) // the caller has gone; nothing to tell it
	})
	mux.Handle("GET /metrics", promhttp.HandlerFor(c.Registry, promhttp.HandlerOpts{Registry: c.Registry, EnableOpenMetrics: true}))
	mux.HandleFunc("GET /livez", func(w http.ResponseWriter, _ *http.Request) { say(w, http.StatusOK, "alive\n") })
	mux.HandleFunc("GET /readyz", func(w http.ResponseWriter, _ *http.Request) {
		if c.Ready() {
			say(w, http.StatusOK, "ready\n")
			return
		}
		say(w, http.StatusServiceUnavailable, "draining\n")
	})
	return mux, nil
}

func say(w http.ResponseWriter, code int, text string) {
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	w.WriteHeader(code)
	_, _ = io.WriteString(w, text) // as above
}

// body is a request's body with a bound, and what was wrong with it.
type body struct {
	io.ReadCloser
	err error
}

func withBody(next http.Handler, most int64) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		r.Body = &body{ReadCloser: http.MaxBytesReader(w, r.Body, most)}
		next.ServeHTTP(w, r)
	})
}

// onError answers a failed call. What the codec found wrong with the body is
// taken from there, details and all.
func onError(ctx context.Context, mux *runtime.ServeMux, m runtime.Marshaler, w http.ResponseWriter, r *http.Request, err error) {
	if b, ok := r.Body.(*body); ok && b.err != nil {
		var big *http.MaxBytesError
		if errors.As(b.err, &big) {
			err = &runtime.HTTPStatusError{
				HTTPStatus: http.StatusRequestEntityTooLarge,
				Err:        status.Errorf(codes.InvalidArgument, "body: is over %d bytes", big.Limit),
			}
		} else if s, ok := status.FromError(b.err); ok {
			err = s.Err()
		}
	}
	runtime.DefaultHTTPErrorHandler(ctx, mux, m, w, r, err)
}

// onRoute answers paths and methods that no call has. The gateway itself would
// take a wrong method for a call that is not implemented.
func onRoute(ctx context.Context, mux *runtime.ServeMux, m runtime.Marshaler, w http.ResponseWriter, r *http.Request, code int) {
	if code != http.StatusMethodNotAllowed {
		runtime.DefaultRoutingErrorHandler(ctx, mux, m, w, r, code)
		return
	}
	w.Header().Set("Allow", http.MethodPost)
	onError(ctx, mux, m, w, r, &runtime.HTTPStatusError{
		HTTPStatus: code,
		Err:        status.Errorf(codes.Unimplemented, "%s is not allowed here; use POST", r.Method),
	})
}
