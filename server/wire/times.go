package wire

import (
	"math"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/run"
)

// Moment reads the time of a line's message, rounded to whole microseconds; nil: it has
// none.
func Moment(m *ripwrightv1.RunLineRequest) (*run.Moment, fault.List) {
	if m.AtS == nil {
		return nil, nil
	}
	var r reader
	p := at(nil, "")
	when := run.Moment(math.Round(r.number(&p, "at_s", m.GetAtS(), lineTime) * 1e6))
	return &when, r.faults
}

// Reason reads why a line is stopped.
func Reason(m *ripwrightv1.LineStop) (string, fault.List) {
	var r reader
	p := at(nil, "")
	r.text(&p, "reason", m.GetReason(), stopReason)
	return m.GetReason(), r.faults
}

// times gives how long a line ran and was stopped, and why.
func times(r *run.Run, t *run.Times) (out *ripwrightv1.LineTimes, stops []*ripwrightv1.StopTotal) {
	if t == nil {
		return nil, nil
	}
	for i := range t.Stops {
		s := &ripwrightv1.StopTotal{Reason: t.Stops[i].Reason, Stops: t.Stops[i].Times}
		if t.Told {
			s.StandingS = proto.Float64(t.Stops[i].Stood.Seconds())
		}
		stops = append(stops, s)
	}
	if !t.Told {
		return nil, stops
	}
	out = &ripwrightv1.LineTimes{FromS: t.From.Seconds(), ToS: r.Clock.At.Seconds(), RunningS: t.Running.Seconds(), StandingS: t.Standing.Seconds(), BoardsCut: t.Cut}
	an := func(of run.Moment) *float64 {
		if of == 0 {
			return nil
		}
		return proto.Float64(float64(t.Cut) / of.Seconds() * 3600)
	}
	out.BoardsPerHour, out.BoardsPerRunningHour = an(t.Running+t.Standing), an(t.Running)
	return out, stops
}
