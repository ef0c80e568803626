package line

import (
	"context"
	"errors"
	"fmt"

	"google.golang.org/grpc/codes"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/caller"
	"github.com/ripwright/ripwright/server/guard"
	"github.com/ripwright/ripwright/server/memory"
	"github.com/ripwright/ripwright/server/refuse"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/bays"
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/planning/replan"
	"github.com/ripwright/ripwright/solver/run"
)

// errFull tells a client to continue elsewhere, or later: it has the last state.
var errFull = refuse.With(codes.Unavailable, ripwrightv1.ErrorReason_ERROR_REASON_BUSY, "open lines have reached their memory limit; resume with the last state on another replica, or later")

// open answers the first message of a stream. The caller must close the session.
func (s *Server) open(ctx context.Context, room *memory.Account, m *ripwrightv1.RunLineRequest) (*session, *ripwrightv1.RunLineResponse, error) {
	if l := guard.Unknown(m); len(l) > 0 {
		return nil, nil, refuse.Faults(l)
	}
	at := &session{Server: s, known: s.cfg.Now(), caller: caller.Of(ctx), room: room, prices: &pricing{Server: s, course: &replan.Course{}}}
	out := &ripwrightv1.RunLineResponse{}
	var err error
	switch first := m.GetMessage().(type) {
	case *ripwrightv1.RunLineRequest_SetUp:
		if m.GetSequence() != 1 {
			return nil, nil, outOfOrder(m.GetSequence(), 1)
		}
		if err = at.begin(ctx, first.SetUp); err == nil {
			if err = at.pass(m); err != nil {
				err = refuse.Error(err)
			}
		}
		if err == nil {
			out.Answer = &ripwrightv1.RunLineResponse_Started{Started: &ripwrightv1.LineStarted{Ready: at.ready()}}
		}
	case *ripwrightv1.RunLineRequest_Resume:
		if m.GetSequence() != 0 {
			return nil, nil, outOfOrder(m.GetSequence(), 0)
		}
		if l := noTime(m); len(l) > 0 {
			return nil, nil, refuse.Faults(l)
		}
		if !at.hold(unpackedSize(first.Resume.GetState())) {
			return nil, nil, errFull
		}
		at.resumed = true
		if err = at.restore(first.Resume.GetState()); err == nil {
			err = at.expected(first.Resume)
		}
		if err == nil {
			out.Answer = &ripwrightv1.RunLineResponse_Resumed{Resumed: &ripwrightv1.LineResumed{Ready: at.ready()}}
		}
	default:
		return nil, nil, refuse.Faults(fault.List{{Path: "message", Says: "is the first on the stream; must be set_up or resume", Reason: fault.WrongTurn}})
	}
	if err != nil {
		at.close()
		return nil, nil, err
	}
	if err = at.answer(out, true); errors.Is(err, errTooLarge) {
		err = refuse.Faults(fault.List{{Path: "set_up", Says: errTooLarge.Error()}})
	}
	return at, out, err
}

// expected checks the run against what a resume expects.
func (s *session) expected(m *ripwrightv1.LineResume) error {
	for _, f := range []struct{ name, want, is string }{
		{"run_id", m.GetRunId(), s.line.RunID},
		{"order_id", m.GetOrderId(), s.line.OrderID},
		{"arbor_fingerprint", m.GetArborFingerprint(), s.line.Saw.ArborFingerprint()},
		{"saw_fingerprint", m.GetSawFingerprint(), s.line.Saw.Whole()},
	} {
		if f.want != "" && f.want != f.is {
			return refuse.Precondition(ripwrightv1.ErrorReason_ERROR_REASON_ANOTHER_RUN, "resume."+f.name, fmt.Sprintf("is %q; the state is of %q", f.want, f.is))
		}
	}
	return nil
}

func (s *session) begin(ctx context.Context, m *ripwrightv1.LineSetUp) error {
	l, err := wire.SetUp(m, s.cfg.Saws, true)
	if err == nil {
		s.run = &run.Run{Sequence: 1, InFlight: l.InFlight, Known: run.Known{By: run.StandSetUp}}
		var below fault.List
		below.Within("order", s.run.SetOrder(l.OrderID, l.Wanted))
		if err = below.Err(); err == nil {
			err = s.awaits(l)
		}
	}
	if err != nil {
		return refuse.Error(under("set_up", err, ""))
	}
	s.adopt(m, l)
	if l.Bays != nil {
		s.bays = bays.New(l.Bays.Count)
	}
	if l.Planning != nil {
		s.first(ctx)
	}
	return nil
}

// adopt puts a set-up into force.
func (s *session) adopt(m *ripwrightv1.LineSetUp, l *wire.Line) {
	s.setUp, s.head = proto.CloneOf(m), nil
	if p := s.setUp.GetValuePlanning(); p != nil {
		p.Expected = nil // in the sample from now on
	}
	s.setUp.SawChoice = &ripwrightv1.LineSetUp_Saw{Saw: l.Saw.Message}
	s.line = l
	s.run.ReleaseAfter = l.ReleaseAfter
}
