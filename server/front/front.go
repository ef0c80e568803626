// Package front is the service's HTTP side: JSON calls, metrics, health and the
// description of the interface.
//
// JSON calls go to the gRPC server over a connection of their own, so that they
// pass the same interceptors and limits as everybody else's.
package front

import (
	"context"
	"net/http"

	"github.com/grpc-ecosystem/grpc-gateway/v2/runtime"
	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/promhttp"
	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/health/grpc_health_v1"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/encoding/protojson"

	"github.com/ripwright/ripwright/proto"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// MaxBody bounds a request's body in bytes: a board of 2000 stations with an
// order of 500 items takes a tenth of it.
const MaxBody = 4 << 20

// New makes the handler. conn leads to the gRPC server.
func New(ctx context.Context, conn *grpc.ClientConn, registry *prometheus.Registry) (http.Handler, error) {
	gateway := runtime.NewServeMux(
		runtime.WithMarshalerOption(runtime.MIMEWildcard, &runtime.JSONPb{
			// Zeros are written out: a caller should see a worth of 0, not miss it.
			MarshalOptions: protojson.MarshalOptions{EmitDefaultValues: true},
			// A misspelt field must not pass for one left out.
			UnmarshalOptions: protojson.UnmarshalOptions{DiscardUnknown: false},
		}),
		runtime.WithRoutingErrorHandler(routingError),
	)
	if err := ripwrightv1.RegisterRipServiceHandler(ctx, gateway, conn); err != nil {
		return nil, err
	}
	health := grpc_health_v1.NewHealthClient(conn)
	mux := http.NewServeMux()
	mux.Handle("/v1/", http.MaxBytesHandler(gateway, MaxBody))
	mux.Handle("GET /metrics", promhttp.HandlerFor(registry, promhttp.HandlerOpts{Registry: registry, EnableOpenMetrics: true}))
	mux.HandleFunc("GET /openapi.yaml", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "application/yaml")
		_, _ = w.Write(proto.OpenAPI)
	})
	mux.HandleFunc("GET /livez", func(w http.ResponseWriter, _ *http.Request) {
		_, _ = w.Write([]byte("alive\n"))
	})
	mux.HandleFunc("GET /readyz", func(w http.ResponseWriter, r *http.Request) {
		answer, err := health.Check(r.Context(), &grpc_health_v1.HealthCheckRequest{})
		if err != nil || answer.GetStatus() != grpc_health_v1.HealthCheckResponse_SERVING {
			http.Error(w, "not ready", http.StatusServiceUnavailable)
			return
		}
		_, _ = w.Write([]byte("ready\n"))
	})
	return mux, nil
}

// routingError answers calls that no route takes. A wrong method is the
// caller's mistake, 405, and not a thing that the server has yet to learn.
func routingError(ctx context.Context, mux *runtime.ServeMux, m runtime.Marshaler, w http.ResponseWriter, r *http.Request, code int) {
	if code != http.StatusMethodNotAllowed {
		runtime.DefaultRoutingErrorHandler(ctx, mux, m, w, r, code)
		return
	}
	w.Header().Set("Allow", http.MethodPost)
	err := &runtime.HTTPStatusError{
		HTTPStatus: http.StatusMethodNotAllowed,
		Err:        status.Errorf(codes.Unimplemented, "%s is not taken here; use POST", r.Method),
	}
	runtime.DefaultHTTPErrorHandler(ctx, mux, m, w, r, err)
}
