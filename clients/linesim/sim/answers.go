package sim

import (
	"errors"
	"fmt"
	"math"
	"time"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// unconfirmed is the number of planned boards without an answered confirmation.
func (l *line) unconfirmed() int { return len(l.plans) }

// heed processes an answer.
func (l *line) heed(a *ripwrightv1.RunLineResponse) error {
	if a.GetSequence() != l.answered+1 || int(a.GetSequence()) > len(l.log) {
		return fmt.Errorf("got answer %d, want %d", a.GetSequence(), l.answered+1)
	}
	l.answered++
	l.state = a.GetState()
	m := l.log[l.answered-1]
	before := l.orders.now
	l.follow(a)
	l.valued(m, a, before != l.orders.now)
	if l.cfg.Heard != nil {
		l.cfg.Heard(m.RunLineRequest, a)
	}
	switch r := a.GetAnswer().(type) {
	case *ripwrightv1.RunLineResponse_Started:
		l.control.Fingerprint = r.Started.GetReady().GetArborFingerprint()
	case *ripwrightv1.RunLineResponse_OrderChanged:
	case *ripwrightv1.RunLineResponse_Stopped, *ripwrightv1.RunLineResponse_Restarted:
		if m.GetStop() == nil && m.GetRestart() == nil {
			return fmt.Errorf("message %d was answered with %v", a.GetSequence(), r)
		}
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
		l.report.Wrong = append(l.report.Wrong, l.book.fills(l.orders.now, a.GetFills())...)
		for _, o := range r.Summary.GetOrders() {
			l.report.Wrong = append(l.report.Wrong, l.book.fills(l.orders.named(o.GetOrderId()), o.GetFills())...)
		}
		if err := l.outfeed.summed(l.cfg.SetUp, r.Summary.GetBays()); err != nil {
			l.report.wrong("%v", err)
		}
		if l.shift != nil {
			if err := l.shift.summed(r.Summary); err != nil {
				l.report.wrong("%v", err)
			}
		}
		if len(l.orders.all) > 1 && len(r.Summary.GetOrders()) != len(l.orders.all) {
			l.report.wrong("the summary has %d orders, want %d", len(r.Summary.GetOrders()), len(l.orders.all))
		}
		l.done = true
	default:
		return errors.New("the answer is empty")
	}
	return nil
}

// valued checks the items' values that the service reports: new values come only with a
// board or an order, one planning after another, and plans are counted at them. turned
// says that another order came into force, which starts with its own values.
func (l *line) valued(m *sent, a *ripwrightv1.RunLineResponse, turned bool) {
	before, now := l.values, a.GetValues()
	l.values = now
	if (now != nil) != (l.cfg.SetUp.GetValuePlanning() != nil) {
		l.report.wrong("message %d: values in force are %v, value planning is %v", a.GetSequence(), now, l.cfg.SetUp.GetValuePlanning())
		return
	}
	l.report.Values = now
	mayChange := m.GetBoard() != nil || m.GetOrderChange() != nil || m.GetSetUp() != nil
	switch {
	case now.GetNumber() < before.GetNumber() && !turned, now.GetFailed() < before.GetFailed():
		l.report.wrong("message %d: values %v follow %v", a.GetSequence(), now, before)
	case before != nil && !proto.Equal(now, before) && !mayChange:
		l.report.wrong("message %d: values changed from %v to %v", a.GetSequence(), before, now)
	}
	plan := a.GetPlan().GetPlan()
	if plan == nil || now == nil {
		return
	}
	worth := plan.GetAccount().GetReripWorth()
	value := map[string]*ripwrightv1.PlannedValue{}
	for _, v := range now.GetValues() {
		value[v.GetItemId()] = v
	}
	for _, k := range plan.GetPockets() {
		v := value[k.GetItemId()]
		if k.GetOrderId() != "" { // by its order's own values
			it := itemOf(l.orders.named(k.GetOrderId()), k.GetItemId())
			v = &ripwrightv1.PlannedValue{Value: it.GetValue(), ValuePer: it.GetValuePer()}
			if v.GetValuePer() == ripwrightv1.ValuePer_VALUE_PER_UNSPECIFIED {
				v.ValuePer = ripwrightv1.ValuePer_VALUE_PER_AREA
			}
		}
		// What a value is counted per is written again on purpose, as for book.strip.
		switch v.GetValuePer() {
		case ripwrightv1.ValuePer_VALUE_PER_LENGTH:
			worth += v.GetValue() * k.GetCountedLengthM()
		case ripwrightv1.ValuePer_VALUE_PER_AREA:
			worth += v.GetValue() * k.GetCountedLengthM() * l.ordered(k) / 1000
		case ripwrightv1.ValuePer_VALUE_PER_STRIP:
			worth += v.GetValue()
		case ripwrightv1.ValuePer_VALUE_PER_UNSPECIFIED: // the item has no value
		}
	}
	if math.Abs(worth-plan.GetWorth()) > 1e-6*max(1, worth) {
		l.report.wrong("message %d: worth is %g, want %g by the values in force", a.GetSequence(), plan.GetWorth(), worth)
	}
}

// ordered is the width for which a strip is paid: for a range the actual one.
func (l *line) ordered(k *ripwrightv1.Pocket) float64 {
	for _, it := range l.cfg.SetUp.GetOrder().GetItems() {
		if it.GetItemId() == k.GetItemId() && it.GetWidthMm() > 0 {
			return it.GetWidthMm()
		}
	}
	return k.GetWidthMm()
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
	if err := l.control.Check(m.GetBoard().GetBoard(), p); err != nil {
		l.report.wrong("board %d: %v", m.GetSequence(), err)
		l.refused[m.GetSequence()] = true
	}
	if err := l.outfeed.planned(l.cfg.SetUp, p); err != nil {
		l.report.wrong("board %d: %v", m.GetSequence(), err)
	}
	if err := obeyed(m.GetBoard().GetInstructions(), p); err != nil {
		l.report.wrong("board %d: %v", m.GetSequence(), err)
	}
	if m.GetBoard().GetInstructions() != nil {
		l.report.Instructed++
	}
	l.book.planned++
	l.plans[m.GetSequence()] = p
	l.waiting = append(l.waiting, m.GetSequence())
}

func (l *line) settled(m *sent, s *ripwrightv1.LineSettled) {
	c := m.GetConfirmation()
	p, open := l.plans[c.GetBoardSequence()]
	want := ripwrightv1.ConfirmationResult_CONFIRMATION_RESULT_COUNTED
	if !open { // the line sends some twice with the same content
		want = ripwrightv1.ConfirmationResult_CONFIRMATION_RESULT_COUNTED_BEFORE
	}
	if s.GetResult() != want {
		l.report.wrong("confirmation %d: %v, want %v", m.GetSequence(), s.GetResult(), want)
	}
	if len(s.GetDrifts()) > 0 { // its blades stand where they are set
		l.report.wrong("confirmation %d: unexpected drift %v", m.GetSequence(), s.GetDrifts())
	}
	if open {
		l.book.enter(l.orders.of[c.GetBoardSequence()], l.orders.named, p, c)
		delete(l.plans, c.GetBoardSequence())
	}
}
