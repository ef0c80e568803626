package sim

import (
	"errors"
	"fmt"
	"time"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// unconfirmed is how many boards are planned of which no confirmation is answered.
func (l *line) unconfirmed() int { return len(l.plans) }

// heed takes an answer.
func (l *line) heed(a *ripwrightv1.RunLineResponse) error {
	if a.GetSequence() != l.answered+1 || int(a.GetSequence()) > len(l.log) {
		return fmt.Errorf("answer %d came where %d was due", a.GetSequence(), l.answered+1)
	}
	l.answered++
	l.state = a.GetState()
	m := l.log[l.answered-1]
	switch r := a.GetAnswer().(type) {
	case *ripwrightv1.RunLineResponse_Ready:
		l.control.Fingerprint = r.Ready.GetSawFingerprint()
	case *ripwrightv1.RunLineResponse_Plan:
		l.planned(m, r.Plan)
	case *ripwrightv1.RunLineResponse_Settled:
		l.settled(m, r.Settled)
	case *ripwrightv1.RunLineResponse_Refused:
		l.book.refused++
		switch r.Refused.GetReason() {
		case ripwrightv1.LineRefusalReason_LINE_REFUSAL_REASON_BUSY, ripwrightv1.LineRefusalReason_LINE_REFUSAL_REASON_TOO_LATE:
			if l.cfg.Insist {
				l.report.Insisted++
				l.again = append(l.again, m)
				l.againAt = time.Now().Add(insistAfter)
			} else {
				l.report.Missed++
			}
		default:
			if m.GetBoard().GetBoard().GetLengthMm() < 10_000 { // which the saw does take
				return fmt.Errorf("message %d was refused: %v", a.GetSequence(), r.Refused)
			}
		}
	case *ripwrightv1.RunLineResponse_Summary:
		l.report.Summary = r.Summary
		l.report.Wrong = append(l.report.Wrong, l.book.compare(r.Summary)...)
		l.report.Wrong = append(l.report.Wrong, l.book.fills(l.cfg.SetUp.GetOrder(), a.GetFills())...)
		l.done = true
	default:
		return errors.New("an answer without content")
	}
	return nil
}

func (l *line) planned(m *sent, p *ripwrightv1.LinePlan) {
	took := time.Since(m.at)
	l.report.Slowest = max(l.report.Slowest, took)
	if l.cfg.Within > 0 && took > l.cfg.Within {
		l.report.Late++
	}
	if !m.again {
		l.report.latencies = append(l.report.latencies, took)
	}
	if err := l.control.Move(m.GetBoard().GetBoard(), p); err != nil {
		l.report.wrong("board %d: %v", m.GetSequence(), err)
	}
	l.book.planned++
	l.plans[m.GetSequence()] = p
	l.waiting = append(l.waiting, m.GetSequence())
}

func (l *line) settled(m *sent, s *ripwrightv1.LineSettled) {
	c := m.GetConfirmation()
	p, open := l.plans[c.GetBoardSequence()]
	if s.GetCounted() != open {
		l.report.wrong("confirmation %d: counted %t, want %t", m.GetSequence(), s.GetCounted(), open)
	}
	if open {
		l.book.enter(l.cfg.SetUp.GetOrder(), p, c)
		delete(l.plans, c.GetBoardSequence())
	}
}
