package guard

import (
	"context"

	"go.uber.org/zap"
	"google.golang.org/grpc"
	"google.golang.org/grpc/metadata"
)

// RequestID is the header, and the metadata key, by which a caller names a call: it is
// echoed with the answer and logged.
const RequestID = "x-request-id"

// Traceparent is W3C Trace Context's header. It is logged whether or not spans are sent,
// so that a call can be found from its trace.
const Traceparent = "traceparent"

// mostID bounds what is echoed.
const mostID = 128

// ID gives the part of a caller's name for a call that may be echoed: up to mostID
// characters of printable ASCII.
func ID(s string) string {
	if len(s) > mostID {
		s = s[:mostID]
	}
	for i := range len(s) {
		if s[i] < ' ' || s[i] > '~' {
			return ""
		}
	}
	return s
}

func first(ctx context.Context, key string) string {
	if v := metadata.ValueFromIncomingContext(ctx, key); len(v) > 0 {
		return ID(v[0])
	}
	return ""
}

// of gives the names by which a caller identified its call.
func of(ctx context.Context) (all []zap.Field) {
	for _, key := range []string{RequestID, Traceparent} {
		if v := first(ctx, key); v != "" {
			all = append(all, zap.String(key, v))
		}
	}
	return all
}

// echoUnary and echoStream return a call's name. It goes with the headers, so that
// streams have it from the first answer on.
func echoUnary(ctx context.Context) {
	if id := first(ctx, RequestID); id != "" {
		_ = grpc.SetHeader(ctx, metadata.Pairs(RequestID, id)) // outside a call, as in tests, there is nobody to tell
	}
}

func echoStream(s grpc.ServerStream) {
	if id := first(s.Context(), RequestID); id != "" {
		_ = s.SetHeader(metadata.Pairs(RequestID, id)) // as above
	}
}
