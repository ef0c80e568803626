package secure

import (
	"context"
	"errors"
	"net/http"
	"strings"

	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/metadata"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/proto/scopes"
	"github.com/ripwright/ripwright/server/refuse"
)

// ofSchema are the scopes that the schema states for its calls.
var ofSchema = scopes.All()

// Needs lists the scopes of which a call, by its full method name, needs one; none: it is
// open to all. A call not known to be open needs the office's, so that no new call is
// open by oversight.
func Needs(method string) (all []Scope) {
	service, _, _ := strings.Cut(strings.TrimPrefix(method, "/"), "/")
	switch {
	case service == "grpc.health.v1.Health":
		return nil
	case strings.HasPrefix(service, "grpc.reflection."):
		return []Scope{Line, Office, Read}
	}
	for _, s := range ofSchema[method] {
		all = append(all, Scope(s))
	}
	if len(all) == 0 {
		return []Scope{Office}
	}
	return all
}

func (t *Tokens) check(ctx context.Context, method string) error {
	needs := Needs(method)
	if len(needs) == 0 {
		return nil
	}
	header := ""
	if v := metadata.ValueFromIncomingContext(ctx, "authorization"); len(v) > 0 {
		header = v[0]
	}
	err := t.Allow(header, needs...)
	switch {
	case errors.Is(err, ErrScope):
		return refuse.With(codes.PermissionDenied, ripwrightv1.ErrorReason_ERROR_REASON_SCOPE_MISSING, err.Error())
	case errors.Is(err, ErrNoToken):
		return refuse.With(codes.Unauthenticated, ripwrightv1.ErrorReason_ERROR_REASON_TOKEN_MISSING, err.Error())
	case err != nil:
		return refuse.With(codes.Unauthenticated, ripwrightv1.ErrorReason_ERROR_REASON_TOKEN_UNKNOWN, err.Error())
	}
	return nil
}

// Unary is an interceptor of unary calls. A nil Tokens lets all calls through.
func (t *Tokens) Unary(ctx context.Context, req any, info *grpc.UnaryServerInfo, next grpc.UnaryHandler) (any, error) {
	if t != nil {
		if err := t.check(ctx, info.FullMethod); err != nil {
			return nil, err
		}
	}
	return next(ctx, req)
}

// Stream is an interceptor of streams. A nil Tokens lets all calls through.
func (t *Tokens) Stream(srv any, s grpc.ServerStream, info *grpc.StreamServerInfo, next grpc.StreamHandler) error {
	if t != nil {
		if err := t.check(s.Context(), info.FullMethod); err != nil {
			return err
		}
	}
	return next(srv, s)
}

// Page guards a page that needs one of the scopes. With a nil Tokens it is open.
func (t *Tokens) Page(next http.Handler, oneOf ...Scope) http.Handler {
	if t == nil {
		return next
	}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		err := t.Allow(r.Header.Get("Authorization"), oneOf...)
		switch {
		case errors.Is(err, ErrScope):
			http.Error(w, err.Error(), http.StatusForbidden)
		case err != nil:
			w.Header().Set("WWW-Authenticate", "Bearer")
			http.Error(w, err.Error(), http.StatusUnauthorized)
		default:
			next.ServeHTTP(w, r)
		}
	})
}
