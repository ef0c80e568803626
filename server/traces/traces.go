// Package traces sends spans of calls to a collector by the OpenTelemetry protocol, if
// the standard's own environment variables ask for it. Otherwise it is off and costs
// nothing.
package traces

import (
	"context"
	"fmt"
	"net/http"
	"time"

	"go.opentelemetry.io/contrib/instrumentation/google.golang.org/grpc/otelgrpc"
	"go.opentelemetry.io/contrib/instrumentation/google.golang.org/grpc/otelgrpc/filters"
	"go.opentelemetry.io/otel/attribute"
	"go.opentelemetry.io/otel/exporters/otlp/otlptrace"
	"go.opentelemetry.io/otel/exporters/otlp/otlptrace/otlptracegrpc"
	"go.opentelemetry.io/otel/exporters/otlp/otlptrace/otlptracehttp"
	noop "go.opentelemetry.io/otel/metric/noop"
	"go.opentelemetry.io/otel/propagation"
	"go.opentelemetry.io/otel/sdk/resource"
	sdk "go.opentelemetry.io/otel/sdk/trace"
	"go.opentelemetry.io/otel/trace"
	"google.golang.org/grpc/metadata"
	"google.golang.org/grpc/stats"
)

// Traces are sent from Open to Close. A nil one is off.
type Traces struct{ provider *sdk.TracerProvider }

// Open gives nil if the environment asks for no traces. In addition to the variables that
// it reads itself, the OpenTelemetry library reads those of its exporter, its sampler and
// its batches from the process's environment.
func Open(ctx context.Context, getenv func(string) string) (*Traces, error) {
	if getenv("OTEL_SDK_DISABLED") == "true" || getenv("OTEL_EXPORTER_OTLP_ENDPOINT") == "" && getenv("OTEL_EXPORTER_OTLP_TRACES_ENDPOINT") == "" {
		return nil, nil
	}
	switch to := getenv("OTEL_TRACES_EXPORTER"); to {
	case "", "otlp":
	case "none":
		return nil, nil
	default:
		return nil, fmt.Errorf("OTEL_TRACES_EXPORTER: is %q; must be otlp or none", to)
	}
	to, err := exporter(ctx, getenv)
	if err != nil {
		return nil, err
	}
	what, err := resource.Merge(resource.NewSchemaless(attribute.String("service.name", "ripwright")), resource.Environment())
	if err != nil {
		return nil, fmt.Errorf("OTEL_RESOURCE_ATTRIBUTES: %w", err)
	}
	return &Traces{sdk.NewTracerProvider(sdk.WithBatcher(to), sdk.WithResource(what))}, nil
}

func exporter(ctx context.Context, getenv func(string) string) (sdk.SpanExporter, error) {
	protocol := "OTEL_EXPORTER_OTLP_TRACES_PROTOCOL"
	if getenv(protocol) == "" {
		protocol = "OTEL_EXPORTER_OTLP_PROTOCOL"
	}
	var client otlptrace.Client
	switch by := getenv(protocol); by {
	case "", "http/protobuf": // the standard's default
		client = otlptracehttp.NewClient()
	case "grpc":
		client = otlptracegrpc.NewClient()
	default:
		return nil, fmt.Errorf("%s: is %q; must be http/protobuf or grpc", protocol, by)
	}
	e, err := otlptrace.New(ctx, client)
	if err != nil {
		return nil, fmt.Errorf("traces: %w", err)
	}
	return e, nil
}

// Close sends what is left, for a few seconds at most.
func (t *Traces) Close() error {
	if t == nil {
		return nil
	}
	ctx, cancel := context.WithTimeout(context.Background(), 3*time.Second)
	defer cancel()
	return t.provider.Shutdown(ctx)
}

// standard are the headers of a trace: W3C Trace Context.
var standard = propagation.TraceContext{}

// Server makes a span for each call to a gRPC server, except those about its health. Nil
// if traces are off.
func (t *Traces) Server() stats.Handler {
	if t == nil {
		return nil
	}
	return otelgrpc.NewServerHandler(otelgrpc.WithTracerProvider(t.provider), otelgrpc.WithMeterProvider(noop.NewMeterProvider()),
		otelgrpc.WithPropagators(standard), otelgrpc.WithFilter(filters.Not(filters.HealthCheck())))
}

// Headers gives the headers of an HTTP call that carry its trace, to pass them on.
func (t *Traces) Headers(h http.Header) metadata.MD {
	if t == nil {
		return nil
	}
	carried := metadata.MD{}
	for _, name := range standard.Fields() {
		if v := h.Get(name); v != "" {
			carried.Set(name, v)
		}
	}
	return carried
}

// Begin starts a span within the context's call; the function it returns ends it.
func Begin(ctx context.Context, name string) func() {
	around := trace.SpanFromContext(ctx)
	if !around.IsRecording() {
		return func() {}
	}
	_, span := around.TracerProvider().Tracer("github.com/ripwright/ripwright/server").Start(ctx, name)
	return func() { span.End() }
}
