package sim

import (
	"fmt"
	"math/rand/v2"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// shift is the line's own clock, and its stop times, in whole seconds: the service counts
// microseconds, so its sums must agree exactly.
type shift struct {
	rng               *rand.Rand
	at                float64
	running, standing float64
	stops             map[string]*ripwrightv1.StopTotal
	why               string // why it is stopped; empty: it runs
}

func newShift(seed uint64) *shift {
	return &shift{rng: rand.New(rand.NewPCG(seed, 1<<35)), stops: map[string]*ripwrightv1.StopTotal{}}
}

// reasons for which a line is stopped.
var reasons = []string{"jam", "no lumber", "blades"}

// tick advances the time to the next message, and gives it.
func (s *shift) tick() *float64 {
	passed := float64(1 + s.rng.IntN(30))
	s.at += passed
	if s.why == "" {
		s.running += passed
	} else {
		s.standing += passed
		s.stops[s.why].StandingS = proto.Float64(s.stops[s.why].GetStandingS() + passed)
	}
	return proto.Float64(s.at)
}

// turns gives the message that stops or restarts the line; nil if neither happens.
func (s *shift) turns() *ripwrightv1.RunLineRequest {
	switch {
	case s.why != "" && s.rng.IntN(2) == 0:
		return &ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Restart{Restart: &ripwrightv1.LineRestart{}}}
	case s.why == "" && s.rng.IntN(9) == 0:
		return &ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Stop{Stop: &ripwrightv1.LineStop{Reason: reasons[s.rng.IntN(len(reasons))]}}}
	}
	return nil
}

// sent records a message that has its time.
func (s *shift) sent(m *ripwrightv1.RunLineRequest) {
	switch {
	case m.GetStop() != nil:
		s.why = m.GetStop().GetReason()
		if s.stops[s.why] == nil {
			s.stops[s.why] = &ripwrightv1.StopTotal{Reason: s.why, StandingS: proto.Float64(0)}
		}
		s.stops[s.why].Stops++
	case m.GetRestart() != nil:
		s.why = ""
	}
}

// summed checks what the summary reports of the time.
func (s *shift) summed(m *ripwrightv1.RunSummary) error {
	t := m.GetTimes()
	if t.GetRunningS() != s.running || t.GetStandingS() != s.standing || t.GetToS()-t.GetFromS() != s.running+s.standing {
		return fmt.Errorf("the line ran %g s and stood %g s; the summary has %v", s.running, s.standing, t)
	}
	if len(m.GetStops()) != len(s.stops) {
		return fmt.Errorf("stops were %v; the summary has %v", s.stops, m.GetStops())
	}
	for _, c := range m.GetStops() {
		if !proto.Equal(c, s.stops[c.GetReason()]) {
			return fmt.Errorf("stops were %v; the summary has %v", s.stops[c.GetReason()], c)
		}
	}
	cut := int32(0)
	for _, o := range m.GetOutcomes() {
		switch o.GetOutcome() {
		case ripwrightv1.CutOutcome_CUT_OUTCOME_NOT_CUT, ripwrightv1.CutOutcome_CUT_OUTCOME_SENT_BACK, ripwrightv1.CutOutcome_CUT_OUTCOME_SET_ASIDE:
		default:
			cut += o.GetBoards()
		}
	}
	if t.GetBoardsCut() != cut {
		return fmt.Errorf("%d boards were cut; the summary has %v", cut, t)
	}
	return nil
}
