// Package front answers HTTP: the calls as JSON, the description of the interface,
// metrics and health.
//
// JSON calls are translated and sent through a gRPC connection, never straight to the
// service, so that they pass every interceptor that gRPC callers pass.
package front

import (
	"context"
	"io"
	"net/http"

	"github.com/grpc-ecosystem/grpc-gateway/v2/runtime"
	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/promhttp"
	"google.golang.org/grpc"
	"google.golang.org/grpc/metadata"

	"github.com/ripwright/ripwright/proto"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/proto/site"
	"github.com/ripwright/ripwright/server/caller"
	"github.com/ripwright/ripwright/server/handling"
	"github.com/ripwright/ripwright/server/health"
	"github.com/ripwright/ripwright/server/intake"
	"github.com/ripwright/ripwright/server/limit"
	"github.com/ripwright/ripwright/server/memory"
	"github.com/ripwright/ripwright/server/page"
	"github.com/ripwright/ripwright/server/secure"
	"github.com/ripwright/ripwright/server/traces"
)

// Config of the HTTP side.
type Config struct {
	Conn     *grpc.ClientConn // to the gRPC server
	Registry *prometheus.Registry
	Settings []byte         // in force, as JSON; nil: they are not shown
	AtWork   http.Handler   // shows what the service is doing
	Ready    func() bool    // whether new work is accepted
	MaxBody  int64          // bytes
	Tokens   *secure.Tokens // nil: metrics are open
	Limits   *limit.Limits
	Page     *page.Config   // nil: no page for people
	Names    site.Names     // that callers may use
	Room     *memory.Room   // that calls hold; nil: any amount
	Watch    intake.Watcher // is told which callers found none
	Desk     *handling.Desk // reads and writes long messages in turn; nil: at once
	Traces   *traces.Traces // nil: none
}

// New makes the handler of all paths.
func New(ctx context.Context, c Config) (http.Handler, error) {
	calls := runtime.NewServeMux(
		runtime.WithMarshalerOption(runtime.MIMEWildcard, newCodec()),
		runtime.WithErrorHandler(onError),
		runtime.WithForwardResponseOption(c.inTurn),
		runtime.WithRoutingErrorHandler(onRoute),
		// The method is taken as sent: no form posts, no method named in a header.
		runtime.WithDisablePathLengthFallback(),
		// No HTTP header of a caller is passed on except the time limit, which the
		// gateway reads itself.
		runtime.WithIncomingHeaderMatcher(func(string) (string, bool) { return "", false }),
		runtime.WithOutgoingHeaderMatcher(func(string) (string, bool) { return "", false }),
		runtime.WithMetadata(func(ctx context.Context, r *http.Request) metadata.MD {
			md := metadata.Pairs(callerKey, caller.Of(ctx))
			if on := callOf(ctx); on != nil {
				md.Set(accountKey, on.name)
			}
			return metadata.Join(md, named(r), c.Traces.Headers(r.Header))
		}),
	)
	for _, register := range []func(context.Context, *runtime.ServeMux, *grpc.ClientConn) error{
		ripwrightv1.RegisterRipServiceHandler, ripwrightv1.RegisterTallyServiceHandler,
		ripwrightv1.RegisterPlanningServiceHandler, ripwrightv1.RegisterInfoServiceHandler,
	} {
		if err := register(ctx, calls, c.Conn); err != nil {
			return nil, err
		}
	}
	mux := http.NewServeMux()
	mux.Handle("/", echoing(limited(withBody(asked(calls), c), c, calls)))
	mux.Handle("/openapi.yaml", health.Read(func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "application/yaml")
		_, _ = w.Write(proto.OpenAPI) // the caller has gone; nothing to tell it
	}))
	mux.Handle("/metrics", health.Read(c.Tokens.Page(Metrics(c.Registry), secure.Read, secure.Line, secure.Office).ServeHTTP))
	if c.Settings != nil {
		mux.Handle("/settings", health.Read(c.Tokens.Page(Settings(c.Settings), secure.Read, secure.Line, secure.Office).ServeHTTP))
	}
	if c.AtWork != nil {
		mux.Handle("/at-work", health.Read(c.Tokens.Page(c.AtWork, secure.Read, secure.Line, secure.Office).ServeHTTP))
	}
	health.Register(mux, c.Ready)
	if c.Page != nil {
		if err := page.Register(mux, *c.Page); err != nil {
			return nil, err
		}
	}
	pages := paged(mux, c, calls)
	return guarded(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if _, pattern := mux.Handler(r); pattern == "/" {
			mux.ServeHTTP(w, r) // a call, which has its own account
			return
		}
		pages.ServeHTTP(w, r)
	}), c.Names, calls), nil
}

// Metrics serves a registry.
func Metrics(r *prometheus.Registry) http.Handler {
	return promhttp.HandlerFor(r, promhttp.HandlerOpts{Registry: r, EnableOpenMetrics: true})
}

// Settings serves the settings in force, as JSON.
func Settings(text []byte) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "application/json")
		w.Header().Set("Cache-Control", "no-store")
		_, _ = w.Write(text) // the caller has gone; nothing to tell it
	})
}

// body is a request's bounded body, and what was wrong with it.
type body struct {
	io.ReadCloser
	json bool // declared as JSON
	err  error
	came *came
	call *call // nil: nothing is counted
	gate *intake.Gate
	ctx  context.Context // of the call
}

func withBody(next http.Handler, c Config) http.Handler {
	gate := &intake.Gate{Limits: intake.LimitsOf(c.MaxBody), Room: c.Room, Watch: c.Watch, Desk: c.Desk}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		b := &body{ReadCloser: http.MaxBytesReader(w, r.Body, c.MaxBody), json: jsonSent(r), came: &came{}, call: callOf(r.Context()), gate: gate, ctx: r.Context()}
		r.Body = b
		// The gateway would log what it cannot parse of this header.
		r.Header.Set("Content-Type", "application/json")
		next.ServeHTTP(w, r.WithContext(context.WithValue(r.Context(), cameKey{}, b.came)))
	})
}
