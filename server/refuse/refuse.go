// Package refuse turns the faults of a call into the status that its caller gets, with
// the standard details of google.rpc.
package refuse

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/protoadapt"
	"google.golang.org/protobuf/types/known/durationpb"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/server/withhold"
	"github.com/ripwright/ripwright/solver/fault"
)

// maxFaults bounds the faults that are named, maxSays the bytes of each description: a
// board of 2000 stations sent in the wrong unit has thousands of faults, an id may be
// long, and a status must fit a header.
const (
	maxFaults = 24
	maxSays   = 240
)

// Error gives the status for an error of the conversion or the solver.
func Error(err error) error {
	var l fault.List
	var unknown wire.UnknownSaw
	var withheld *withhold.Error
	switch {
	case errors.As(err, &l):
		return Faults(l)
	case errors.As(err, &unknown):
		return with(codes.NotFound, ripwrightv1.ErrorReason_ERROR_REASON_UNKNOWN_SAW, unknown.Error(), &errdetails.ResourceInfo{
			ResourceType: "saw", ResourceName: unknown.Name, Description: "no such saw in the server's saw file",
		})
	case errors.As(err, &withheld):
		return With(codes.Internal, ripwrightv1.ErrorReason_ERROR_REASON_PLAN_WITHHELD, withheld.Error())
	}
	return Internal()
}

// Internal is the status for a fault of the service.
func Internal() error {
	return With(codes.Internal, ripwrightv1.ErrorReason_ERROR_REASON_SERVICE_FAULT, "internal error")
}

// Faults names the wrong fields, up to maxFaults of them.
func Faults(l fault.List) error {
	reason := ripwrightv1.ErrorReason_ERROR_REASON_WRONG_FIELDS
	if OutsideSawLimits(l) {
		reason = ripwrightv1.ErrorReason_ERROR_REASON_BOARD_OUTSIDE_SAW_LIMITS
	}
	return For(reason, l)
}

// OutsideSawLimits reports whether the only fault is that the board lies outside the
// saw's limits.
func OutsideSawLimits(l fault.List) bool {
	return !slices.ContainsFunc(l, func(f fault.Fault) bool { return f.Reason != fault.OutsideSawLimits })
}

// For is Faults with another reason.
func For(reason ripwrightv1.ErrorReason, l fault.List) error {
	detail := &errdetails.BadRequest{}
	for _, f := range l[:min(len(l), maxFaults)] {
		detail.FieldViolations = append(detail.FieldViolations,
			&errdetails.BadRequest_FieldViolation{Field: f.Path, Description: cut(f.Says), Reason: f.Reason.String()})
	}
	says := fmt.Sprintf("%s %s", l[0].Path, cut(l[0].Says))
	switch n := len(l); {
	case n > maxFaults:
		says += fmt.Sprintf(" (and %d more, of which the first %d are named)", n-1, maxFaults)
	case n > 1:
		says += fmt.Sprintf(" (and %d more)", n-1)
	}
	return with(codes.InvalidArgument, reason, says, detail)
}

func cut(says string) string {
	if len(says) <= maxSays {
		return says
	}
	return strings.ToValidUTF8(says[:maxSays], "") + "..."
}

// Busy refuses a call because too much waits, and says when to retry.
func Busy(says string, again time.Duration) error {
	return with(codes.ResourceExhausted, ripwrightv1.ErrorReason_ERROR_REASON_BUSY, says, &errdetails.RetryInfo{RetryDelay: durationpb.New(again)})
}

// Share refuses a call whose caller has as much under way as it may.
func Share(says string, again time.Duration) error {
	return with(codes.ResourceExhausted, ripwrightv1.ErrorReason_ERROR_REASON_CALLER_LIMIT, says, &errdetails.RetryInfo{RetryDelay: durationpb.New(again)})
}

// Precondition refuses what is valid in itself but not in the current state.
func Precondition(reason ripwrightv1.ErrorReason, path, says string) error {
	return with(codes.FailedPrecondition, reason, path+" "+says, turn(path, says))
}

// Exists refuses a name that is taken by something else.
func Exists(reason ripwrightv1.ErrorReason, path, says string) error {
	return with(codes.AlreadyExists, reason, path+" "+says, turn(path, says))
}

func turn(path, says string) *errdetails.BadRequest {
	return &errdetails.BadRequest{FieldViolations: []*errdetails.BadRequest_FieldViolation{
		{Field: path, Description: says, Reason: fault.WrongTurn.String()}}}
}

// With is a status that needs nothing but a reason.
func With(code codes.Code, reason ripwrightv1.ErrorReason, says string) error {
	return with(code, reason, says)
}

func with(code codes.Code, reason ripwrightv1.ErrorReason, says string, details ...protoadapt.MessageV1) error {
	s, err := status.New(code, says).WithDetails(append([]protoadapt.MessageV1{why(reason)}, details...)...)
	if err != nil {
		return status.Error(code, says)
	}
	return s.Err()
}

// domain is the domain of the reasons.
const domain = "ripwright"

func why(reason ripwrightv1.ErrorReason) *errdetails.ErrorInfo {
	return &errdetails.ErrorInfo{Domain: domain, Reason: strings.TrimPrefix(reason.String(), "ERROR_REASON_")}
}

// usual is the reason for a code that ends a call without another reason.
var usual = map[codes.Code]ripwrightv1.ErrorReason{
	codes.InvalidArgument:   ripwrightv1.ErrorReason_ERROR_REASON_MALFORMED_REQUEST,
	codes.Unauthenticated:   ripwrightv1.ErrorReason_ERROR_REASON_TOKEN_MISSING,
	codes.PermissionDenied:  ripwrightv1.ErrorReason_ERROR_REASON_SCOPE_MISSING,
	codes.ResourceExhausted: ripwrightv1.ErrorReason_ERROR_REASON_REQUEST_TOO_LARGE,
	codes.DeadlineExceeded:  ripwrightv1.ErrorReason_ERROR_REASON_DEADLINE_OVER,
	codes.Canceled:          ripwrightv1.ErrorReason_ERROR_REASON_CALL_ENDED,
	codes.Unavailable:       ripwrightv1.ErrorReason_ERROR_REASON_STOPPING,
	codes.Unimplemented:     ripwrightv1.ErrorReason_ERROR_REASON_UNKNOWN_CALL,
	codes.Internal:          ripwrightv1.ErrorReason_ERROR_REASON_SERVICE_FAULT,
	codes.Unknown:           ripwrightv1.ErrorReason_ERROR_REASON_SERVICE_FAULT,
}

// Explained gives an error that ends a call an ErrorInfo if it has none.
func Explained(err error) error {
	if err == nil {
		return nil
	}
	s := status.Convert(err)
	for _, d := range s.Details() {
		if _, ok := d.(*errdetails.ErrorInfo); ok {
			return err
		}
	}
	reason, ok := usual[s.Code()]
	if !ok {
		reason = ripwrightv1.ErrorReason_ERROR_REASON_TRANSPORT
	}
	if more, failed := s.WithDetails(why(reason)); failed == nil {
		return more.Err()
	}
	return err
}

// byTransport is why gRPC itself ended a call, before or while it was read.
var byTransport = map[codes.Code]ripwrightv1.ErrorReason{
	codes.InvalidArgument:   ripwrightv1.ErrorReason_ERROR_REASON_WRONG_CONTENT_TYPE, // only that
	codes.ResourceExhausted: ripwrightv1.ErrorReason_ERROR_REASON_REQUEST_TOO_LARGE,
	codes.DeadlineExceeded:  ripwrightv1.ErrorReason_ERROR_REASON_DEADLINE_OVER,
	codes.Canceled:          ripwrightv1.ErrorReason_ERROR_REASON_CALL_ENDED,
	codes.Unavailable:       ripwrightv1.ErrorReason_ERROR_REASON_STOPPING,
	codes.Unimplemented:     ripwrightv1.ErrorReason_ERROR_REASON_UNKNOWN_CALL,
}

// ByTransport adds an ErrorInfo to a status of gRPC itself.
func ByTransport(s *status.Status) *status.Status {
	reason, ok := byTransport[s.Code()]
	switch {
	case !ok:
		reason = ripwrightv1.ErrorReason_ERROR_REASON_TRANSPORT
	case s.Code() == codes.Unimplemented && strings.Contains(s.Message(), "grpc-encoding"): // nothing else distinguishes the two
		reason = ripwrightv1.ErrorReason_ERROR_REASON_UNKNOWN_COMPRESSION
	}
	if more, err := s.WithDetails(why(reason)); err == nil {
		return more
	}
	return s
}

// IsBusy reports whether a status tells a caller to retry.
func IsBusy(err error) bool { return status.Code(err) == codes.ResourceExhausted }
