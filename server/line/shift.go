package line

import (
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/fault"
)

// pass takes the time that a message says. Time passes whatever else is wrong with it.
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
	// Of a stream that was resumed this replica may have counted some of it before.
	if from = s.clocks.since(s.line.RunID, from, *at); *at > from {
		s.cfg.Watch.Passed(s.caller, s.line, (*at - from).Seconds(), stood)
	}
	return nil
}

// stop has the line stand.
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

// restart has it run again.
func (s *session) restart() (*ripwrightv1.RunLineResponse_Restarted, error) {
	why, stood, ok := s.run.Restart()
	if !ok {
		return nil, fault.List{{Path: "restart", Says: "was sent while the line runs; no stop came before it", Reason: fault.WrongTurn}}
	}
	out := &ripwrightv1.LineRestarted{Reason: why}
	if s.run.Clock.Told {
		out.StoodS = proto.Float64(stood.Seconds())
	}
	return &ripwrightv1.RunLineResponse_Restarted{Restarted: out}, nil
}

// sumUp says what the run came to so far, and sets a mark where one is asked for.
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

// stands puts into what a run goes on with whether it stands, and when.
func (s *session) stands(r *ripwrightv1.LineReady) {
	r.StopReason, r.Stopped = s.run.Standing()
	if c := s.run.Clock; c != nil && c.Told {
		r.AtS = proto.Float64(c.At.Seconds())
	}
}

// noTime is what is wrong with the time of a resume: what is sent again after it has
// earlier ones.
func noTime(m *ripwrightv1.RunLineRequest) fault.List {
	if m.AtS == nil {
		return nil
	}
	return fault.List{{Path: "at_s", Says: "is set in a resume, which takes no time; the messages after it have theirs", Reason: fault.WrongTurn}}
}

// timed is of how many runs a server knows until when their time was counted.
const timed = 1 << 12
