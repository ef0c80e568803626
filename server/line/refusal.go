package line

import (
	"errors"
	"fmt"

	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/refuse"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/server/withhold"
	"github.com/ripwright/ripwright/solver/fault"
)

// mostFaults bounds the faults that one refusal names.
const mostFaults = 24

// refusal says in an answer why a message is not followed. An error that it cannot
// express ends the stream.
func refusal(err error) (*ripwrightv1.LineRefusal, error) {
	var l fault.List
	var unknown wire.UnknownSaw
	var many inFlight
	var withheld *withhold.Error
	one := func(reason ripwrightv1.LineRefusalReason, path, says string) (*ripwrightv1.LineRefusal, error) {
		why := fault.WrongTurn
		if reason == ripwrightv1.LineRefusalReason_LINE_REFUSAL_REASON_UNKNOWN_SAW {
			why = fault.UnknownName
		}
		return &ripwrightv1.LineRefusal{Reason: reason, Faults: []*ripwrightv1.FieldFault{fieldFault(fault.Fault{Path: path, Says: says, Reason: why})}}, nil
	}
	switch {
	case errors.As(err, &l):
		r := &ripwrightv1.LineRefusal{Reason: ripwrightv1.LineRefusalReason_LINE_REFUSAL_REASON_INVALID}
		if refuse.OutsideSawLimits(l) {
			r.Reason = ripwrightv1.LineRefusalReason_LINE_REFUSAL_REASON_OUTSIDE_SAW_LIMITS
		}
		for _, f := range l[:min(len(l), mostFaults)] {
			r.Faults = append(r.Faults, fieldFault(f))
		}
		return r, nil
	case errors.As(err, &unknown):
		return one(ripwrightv1.LineRefusalReason_LINE_REFUSAL_REASON_UNKNOWN_SAW, "saw_change.saw_name", unknown.Error())
	case errors.Is(err, errTooLarge):
		return one(ripwrightv1.LineRefusalReason_LINE_REFUSAL_REASON_STATE_TOO_LARGE, "message", errTooLarge.Error())
	case errors.As(err, &many):
		return one(ripwrightv1.LineRefusalReason_LINE_REFUSAL_REASON_BOARDS_IN_FLIGHT, "board",
			fmt.Sprintf("%d boards wait for their confirmation; confirm one before the next comes", int(many)))
	case errors.As(err, &withheld):
		return one(ripwrightv1.LineRefusalReason_LINE_REFUSAL_REASON_PLAN_WITHHELD, "board", withheld.Error())
	case status.Code(err) == codes.ResourceExhausted:
		return one(ripwrightv1.LineRefusalReason_LINE_REFUSAL_REASON_BUSY, "board", status.Convert(err).Message())
	case status.Code(err) == codes.DeadlineExceeded:
		return one(ripwrightv1.LineRefusalReason_LINE_REFUSAL_REASON_TOO_LATE, "board.answer_within_ms",
			"passed before the board's turn came")
	}
	return nil, err
}

// errTooLarge is the error of a message that would make the state larger than allowed.
var errTooLarge = fmt.Errorf("would make the run's state larger than %d bytes; end the run and begin another", wire.MaxState)

func fieldFault(f fault.Fault) *ripwrightv1.FieldFault {
	reason := ripwrightv1.FaultReason_value["FAULT_REASON_"+f.Reason.String()]
	return &ripwrightv1.FieldFault{Path: f.Path, Reason: ripwrightv1.FaultReason(reason), Says: f.Says}
}
