// Package refuse turns what is wrong with a call into the status that the
// caller gets, with the standard details of google.rpc.
package refuse

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/protoadapt"
	"google.golang.org/protobuf/types/known/durationpb"

	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/server/withhold"
	"github.com/ripwright/ripwright/solver/fault"
)

// maxFaults bounds the faults that are named, maxSays the bytes that are said
// about each: a board of 2000 stations sent in the wrong unit has thousands, an
// id may be long, and a status has to fit a header.
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
		return with(codes.NotFound, unknown.Error(), &errdetails.ResourceInfo{
			ResourceType: "saw", ResourceName: unknown.Name, Description: "no such saw in the server's saw file",
		})
	case errors.As(err, &withheld):
		return with(codes.Internal, withheld.Error(), &errdetails.ErrorInfo{Reason: "PLAN_WITHHELD", Domain: "ripwright"})
	}
	return status.Error(codes.Internal, "internal error")
}

// Faults names every wrong field, up to a number.
func Faults(l fault.List) error {
	detail := &errdetails.BadRequest{}
	for _, f := range l[:min(len(l), maxFaults)] {
		detail.FieldViolations = append(detail.FieldViolations,
			&errdetails.BadRequest_FieldViolation{Field: f.Path, Description: cut(f.Says)})
	}
	says := fmt.Sprintf("%s %s", l[0].Path, cut(l[0].Says))
	switch n := len(l); {
	case n > maxFaults:
		says += fmt.Sprintf(" (and %d more, of which the first %d are named)", n-1, maxFaults)
	case n > 1:
		says += fmt.Sprintf(" (and %d more)", n-1)
	}
	return with(codes.InvalidArgument, says, detail)
}

func cut(says string) string {
	if len(says) <= maxSays {
		return says
	}
	return strings.ToValidUTF8(says[:maxSays], "") + "..."
}

// Busy turns a call away and says when to try again.
func Busy(says string, again time.Duration) error {
	return with(codes.ResourceExhausted, says, &errdetails.RetryInfo{RetryDelay: durationpb.New(again)})
}

func with(code codes.Code, says string, detail protoadapt.MessageV1) error {
	s, err := status.New(code, says).WithDetails(detail)
	if err != nil {
		return status.Error(code, says)
	}
	return s.Err()
}

// Precondition refuses what is right in itself but not as things stand.
func Precondition(path, says string) error {
	return with(codes.FailedPrecondition, path+" "+says, &errdetails.BadRequest{
		FieldViolations: []*errdetails.BadRequest_FieldViolation{{Field: path, Description: says}}})
}
