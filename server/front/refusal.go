package front

import (
	"context"
	"errors"
	"fmt"
	"math"
	"net/http"
	"strconv"

	"github.com/grpc-ecosystem/grpc-gateway/v2/runtime"
	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/proto/site"
	"github.com/ripwright/ripwright/server/refuse"
	"github.com/ripwright/ripwright/solver/fault"
)

// wrongMedia refuses a body that is not declared as JSON.
var wrongMedia error = &runtime.HTTPStatusError{
	HTTPStatus: http.StatusUnsupportedMediaType,
	Err: refuse.For(ripwrightv1.ErrorReason_ERROR_REASON_WRONG_CONTENT_TYPE,
		fault.List{{Path: "content-type", Says: "must be application/json, in UTF-8; send the header Content-Type: application/json", Reason: fault.WrongType}}),
}

// unknownHost refuses a request that calls the service by a name which is not its own,
// otherSite one from a page of another site.
var (
	unknownHost error = &runtime.HTTPStatusError{
		HTTPStatus: http.StatusMisdirectedRequest,
		Err: refuse.For(ripwrightv1.ErrorReason_ERROR_REASON_UNKNOWN_HOST,
			fault.List{{Path: "host", Says: "is not a name of this service; use an address, localhost, a name of its certificate, or one that its setting hosts lists", Reason: fault.UnknownName}}),
	}
	otherSite = refuse.With(codes.PermissionDenied, ripwrightv1.ErrorReason_ERROR_REASON_OTHER_SITE,
		"the request comes from a page of another site; this service answers only its own page and programs")
)

// Guarded refuses requests from pages of other sites.
func Guarded(next http.Handler, n site.Names) http.Handler {
	return guarded(next, n, runtime.NewServeMux())
}

// guarded refuses requests from pages of other sites, except for health: probes call by
// any name, and learn nothing.
func guarded(next http.Handler, n site.Names, calls *runtime.ServeMux) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		why := n.Of(r)
		if r.URL.Path == "/livez" || r.URL.Path == "/readyz" {
			why = site.Welcome
		}
		switch why {
		case site.UnknownHost:
			onError(r.Context(), calls, newCodec(), w, r, unknownHost)
		case site.OtherSite:
			onError(r.Context(), calls, newCodec(), w, r, otherSite)
		default:
			next.ServeHTTP(w, r)
		}
	})
}

func tooLarge(most int64) error {
	return &runtime.HTTPStatusError{
		HTTPStatus: http.StatusRequestEntityTooLarge,
		Err: refuse.For(ripwrightv1.ErrorReason_ERROR_REASON_REQUEST_TOO_LARGE, fault.List{{Path: "body",
			Says: fmt.Sprintf("is too large; must have at most %d bytes", most), Reason: fault.WrongLength}}),
	}
}

// onError answers a failed call. What the codec found wrong with the body is taken from
// there, including details.
func onError(ctx context.Context, mux *runtime.ServeMux, m runtime.Marshaler, w http.ResponseWriter, r *http.Request, err error) {
	if b, ok := r.Body.(*body); ok && b.err != nil {
		err = b.err
	}
	err = explained(err)
	retryAfter(w, err)
	runtime.DefaultHTTPErrorHandler(ctx, mux, m, w, r, err)
}

// retryAfter says in HTTP's own header when to retry, in whole seconds, the only unit
// that it allows.
func retryAfter(w http.ResponseWriter, err error) {
	for _, d := range status.Convert(err).Details() {
		if again, ok := d.(*errdetails.RetryInfo); ok {
			s := math.Ceil(again.GetRetryDelay().AsDuration().Seconds())
			w.Header().Set("Retry-After", strconv.FormatFloat(max(s, 1), 'f', -1, 64))
		}
	}
}

// onRoute answers paths and methods that no call has. The gateway itself would report a
// wrong method as a call that is not implemented.
func onRoute(ctx context.Context, mux *runtime.ServeMux, m runtime.Marshaler, w http.ResponseWriter, r *http.Request, code int) {
	switch code {
	case http.StatusMethodNotAllowed:
		w.Header().Set("Allow", method(r.URL.Path))
		onError(ctx, mux, m, w, r, &runtime.HTTPStatusError{
			HTTPStatus: code,
			Err: refuse.With(codes.Unimplemented, ripwrightv1.ErrorReason_ERROR_REASON_WRONG_METHOD,
				fmt.Sprintf("%s is not allowed here; use %s", r.Method, method(r.URL.Path))),
		})
	case http.StatusNotFound:
		onError(ctx, mux, m, w, r, refuse.With(codes.NotFound, ripwrightv1.ErrorReason_ERROR_REASON_UNKNOWN_PATH,
			"no such path; /openapi.yaml describes them all"))
	default:
		runtime.DefaultRoutingErrorHandler(ctx, mux, m, w, r, code)
	}
}

// explained gives every error a reason, including the gateway's own, and keeps its HTTP
// status.
func explained(err error) error {
	var with *runtime.HTTPStatusError
	if errors.As(err, &with) {
		return &runtime.HTTPStatusError{HTTPStatus: with.HTTPStatus, Err: refuse.Explained(with.Err)}
	}
	return refuse.Explained(err)
}
