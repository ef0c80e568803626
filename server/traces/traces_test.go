package traces

import (
	"context"
	"strings"
	"testing"
)

func TestOpen(t *testing.T) {
	const at, never = "OTEL_EXPORTER_OTLP_ENDPOINT", "http://127.0.0.1:1"
	for _, c := range []struct {
		env  map[string]string
		on   bool
		says string
	}{
		{nil, false, ""},
		{map[string]string{"OTEL_SERVICE_NAME": "x"}, false, ""},
		{map[string]string{at: never}, true, ""},
		{map[string]string{"OTEL_EXPORTER_OTLP_TRACES_ENDPOINT": never}, true, ""},
		{map[string]string{at: never, "OTEL_SDK_DISABLED": "true"}, false, ""},
		{map[string]string{at: never, "OTEL_TRACES_EXPORTER": "none"}, false, ""},
		{map[string]string{at: never, "OTEL_TRACES_EXPORTER": "console"}, false, `OTEL_TRACES_EXPORTER: is "console"; must be otlp or none`},
		{map[string]string{at: never, "OTEL_EXPORTER_OTLP_PROTOCOL": "grpc"}, true, ""},
		{map[string]string{at: never, "OTEL_EXPORTER_OTLP_PROTOCOL": "json"}, false, `OTEL_EXPORTER_OTLP_PROTOCOL: is "json"; must be http/protobuf or grpc`},
	} {
		got, err := Open(t.Context(), func(name string) string { return c.env[name] })
		if got != nil != c.on || err == nil != (c.says == "") || err != nil && !strings.Contains(err.Error(), c.says) {
			t.Errorf("%v: on %t, %v", c.env, got != nil, err)
		}
		if err := got.Close(); err != nil {
			t.Errorf("%v: %v", c.env, err)
		}
	}
}

// Without a trace a span costs no memory.
func TestOffCostsNothing(t *testing.T) {
	ctx := context.Background()
	if n := testing.AllocsPerRun(100, func() { Begin(ctx, "solve")() }); n != 0 {
		t.Errorf("%g allocations", n)
	}
	var off *Traces
	if off.Server() != nil || off.Headers(nil) != nil {
		t.Error("traces that are off do something")
	}
}
