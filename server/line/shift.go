package line

import (
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/fault"
)

// pass takes the time of a message. Time passes whatever else is wrong with the message.
func (s *session) pass(m *ripwrightv1.RunLineRequest) error {
	at, l := wire.Moment(m)
	switch {
	case len(l) > 0:
		return l
	case at == nil:
		return nil
	case s.run.Before(*at):
		l.Add("at_s", "is %f; an earlier message was at %f, and time does not go back", at.Seconds(), s.run.Clock.At.Seconds())
		return l
	}
	from, stood := s.run.Pass(*at)
	// If the stream was resumed, this replica may have counted part of it before.
	if from = s.clocks.since(s.line.RunID, from, *at); *at > from {
		s.cfg.Watch.Passed(s.caller, s.line, (*at - from).Seconds(), stood)
	}
	return nil
}

// stop records that the line is stopped.
func (s *session) stop(m *ripwrightv1.LineStop) (*ripwrightv1.RunLineResponse_Stopped, error) {
	why, l := wire.Reason(m)
	if len(l) > 0 {
		var below fault.List
		below.Within("stop", l)
		return nil, below
	}
	if began := s.run.Stop(why); began {
		if first, _ := s.once.first(s.key(s.run.Sequence), 0); first {
			s.cfg.Watch.Stopped(s.caller, s.line)
		}
	}
	why, _ = s.run.Standing()
	return &ripwrightv1.RunLineResponse_Stopped{Stopped: &ripwrightv1.LineStopped{Reason: why}}, nil
}

// restart records that it runs again.
func (s *session) restart() (*ripwrightv1.RunLineResponse_Restarted, error) {
	why, stood, ok := s.run.Restart()
	if !ok {
		return nil, fault.List{{Path: "restart", Says: "was sent while the line was running; no stop came before it", Reason: fault.WrongTurn}}
	}
	out := &ripwrightv1.LineRestarted{Reason: why}
	if s.run.Clock.Told {
		out.StoodS = proto.Float64(stood.Seconds())
	}
	return &ripwrightv1.RunLineResponse_Restarted{Restarted: out}, nil
}

// sumUp gives the totals of the run so far, and sets a mark if asked to.
func (s *session) sumUp(m *ripwrightv1.LineSumUp) *ripwrightv1.RunLineResponse_SummedUp {
	of := &s.run.Totals
	if m.GetSinceMark() {
		of = s.run.SinceMark()
	}
	out := &ripwrightv1.LineSummedUp{Summary: s.summed(s.line.Summary(s.run, of))}
	if m.GetSetMark() {
		s.run.Mark()
	}
	return &ripwrightv1.RunLineResponse_SummedUp{SummedUp: out}
}

// stands adds to where the run continues whether the line is stopped, and since when.
func (s *session) stands(r *ripwrightv1.LineReady) {
	r.StopReason, r.Stopped = s.run.Standing()
	if c := s.run.Clock; c != nil && c.Told {
		r.AtS = proto.Float64(c.At.Seconds())
	}
}

// noTime refuses a time in a resume: messages sent again after it have earlier times.
func noTime(m *ripwrightv1.RunLineRequest) fault.List {
	if m.AtS == nil {
		return nil
	}
	return fault.List{{Path: "at_s", Says: "is set in a resume, which takes no time; the messages after it have theirs", Reason: fault.WrongTurn}}
}

// timed is the number of runs for which a server knows until when their time was counted.
const timed = 1 << 12
