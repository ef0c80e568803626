package app

import (
	"context"
	"encoding/hex"
	"fmt"
	"net"
	"net/http"
	"strings"
	"sync"
	"testing"
	"time"

	collector "go.opentelemetry.io/proto/otlp/collector/trace/v1"
	tracepb "go.opentelemetry.io/proto/otlp/trace/v1"
	"google.golang.org/grpc"
	"google.golang.org/grpc/health/grpc_health_v1"
	"google.golang.org/grpc/metadata"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/traces"
)

// collected is an OTLP collector in this process.
type collected struct {
	collector.UnimplementedTraceServiceServer
	at string

	mu    sync.Mutex
	names []string // of services
	spans []*tracepb.Span
}

func collect(t *testing.T) *collected {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	c, s := &collected{at: l.Addr().String()}, grpc.NewServer()
	collector.RegisterTraceServiceServer(s, c)
	go func() { _ = s.Serve(l) }() // stopped below
	t.Cleanup(s.Stop)
	return c
}

// Export implements the call of that name.
func (c *collected) Export(_ context.Context, m *collector.ExportTraceServiceRequest) (*collector.ExportTraceServiceResponse, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	for _, r := range m.GetResourceSpans() {
		for _, a := range r.GetResource().GetAttributes() {
			if a.GetKey() == "service.name" {
				c.names = append(c.names, a.GetValue().GetStringValue())
			}
		}
		for _, s := range r.GetScopeSpans() {
			c.spans = append(c.spans, s.GetSpans()...)
		}
	}
	return &collector.ExportTraceServiceResponse{}, nil
}

// A call over either transport has a span in its caller's own trace, with spans in it for
// waiting and for solving. They hold no content of a request.
func TestTraces(t *testing.T) {
	noLeaks(t)
	c := collect(t)
	t.Setenv("OTEL_EXPORTER_OTLP_ENDPOINT", "http://"+c.at)
	t.Setenv("OTEL_EXPORTER_OTLP_PROTOCOL", "grpc")
	t.Setenv("OTEL_SERVICE_NAME", "saw hall")
	spans, err := traces.Open(t.Context(), func(name string) string {
		return map[string]string{"OTEL_EXPORTER_OTLP_ENDPOINT": "http://" + c.at, "OTEL_EXPORTER_OTLP_PROTOCOL": "grpc"}[name]
	})
	if err != nil {
		t.Fatal(err)
	}
	r := run(t, loopback(Config{Drain: 10 * time.Second, Traces: spans}))
	conn := dial(t, r.GRPC())
	const rpc, web = "4bf92f3577b34da6a3ce929d0e0e4736", "0af7651916cd43dd8448eb211c80319c" // the examples of W3C Trace Context
	parent := func(trace string) string { return fmt.Sprintf("00-%s-00f067aa0ba902b7-01", trace) }
	ctx := metadata.AppendToOutgoingContext(t.Context(), "traceparent", parent(rpc))
	if _, err := ripwrightv1.NewRipServiceClient(conn).SolveBoard(ctx, request(t)); err != nil {
		t.Fatal(err)
	}
	if _, err := grpc_health_v1.NewHealthClient(conn).Check(ctx, &grpc_health_v1.HealthCheckRequest{}); err != nil {
		t.Fatal(err)
	}
	q, err := http.NewRequestWithContext(t.Context(), http.MethodPost, "http://"+r.HTTP()+"/v1/boards:solve", strings.NewReader(good))
	if err != nil {
		t.Fatal(err)
	}
	q.Header.Set("Content-Type", "application/json")
	q.Header.Set("Traceparent", parent(web))
	answer, err := http.DefaultClient.Do(q)
	if err != nil {
		t.Fatal(err)
	}
	_ = answer.Body.Close()
	_ = conn.Close()
	r.stop()
	if err := <-r.ended; err != nil {
		t.Error(err)
	}
	if err := spans.Close(); err != nil {
		t.Error(err)
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	if len(c.names) == 0 || c.names[0] != "saw hall" {
		t.Errorf("services %q", c.names)
	}
	byID, names := map[string]*tracepb.Span{}, map[string][]string{}
	for _, s := range c.spans {
		byID[string(s.GetSpanId())] = s
	}
	for _, s := range c.spans {
		within := byID[string(s.GetParentSpanId())].GetName()
		trace := hex.EncodeToString(s.GetTraceId())
		names[trace] = append(names[trace], within+"/"+s.GetName())
		if s.GetEndTimeUnixNano() < s.GetStartTimeUnixNano() {
			t.Errorf("%s ends before it begins", s.GetName())
		}
		if text := fmt.Sprint(s); strings.Contains(text, "stile") || strings.Contains(text, "b7") && strings.Contains(text, "board_id") {
			t.Errorf("a request stands in a span: %s", text)
		}
	}
	const call = "ripwright.v1.RipService/SolveBoard"
	for _, trace := range []string{rpc, web} {
		got := strings.Join(names[trace], " ")
		if len(names[trace]) != 3 || !strings.Contains(got, "/"+call) || !strings.Contains(got, call+"/wait for a solver") || !strings.Contains(got, call+"/solve") {
			t.Errorf("trace %s has %q", trace, got)
		}
	}
}
