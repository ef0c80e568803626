package sim

import (
	"errors"
	"math"
	"time"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// more queues the next message if there is one to send now: a confirmation if enough
// boards wait for theirs, otherwise a board, otherwise the end.
func (l *line) more() bool {
	window := int(l.cfg.SetUp.GetBoardsInFlight())
	last := l.boards == l.cfg.Boards && len(l.again) == 0
	switch unanswered := len(l.log) - int(l.answered); {
	case l.done || len(l.log) > 0 && l.log[len(l.log)-1].GetEnd() != nil:
		return false
	case len(l.waiting) > 0 && (last || len(l.waiting) > window/2):
		l.confirm()
	case len(l.again) > 0 && unanswered+len(l.waiting) < window && time.Now().After(l.againAt):
		once := l.again[0]
		l.again = l.again[1:]
		l.queue(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Board{Board: l.anew(once.GetBoard())}})
		l.log[len(l.log)-1].at = once.at
	case !last && len(l.again) == 0 && unanswered+len(l.waiting) < window && l.due():
		if l.shift != nil {
			if m := l.shift.turns(); m != nil {
				l.queue(m)
				return true
			}
		}
		l.queue(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Board{Board: l.board()}})
		l.boards++
		if l.boards%37 == 0 && len(l.orders.all) == 1 {
			l.change()
		}
	case last && unanswered == 0 && len(l.waiting) == 0:
		l.queue(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_End{End: &ripwrightv1.EndOfRun{}}})
	default:
		return false
	}
	return true
}

// board is the next one.
func (l *line) board() *ripwrightv1.LineBoard {
	b := &ripwrightv1.LineBoard{Board: Board(l.cfg.Seed, l.boards)}
	if l.axes.IntN(4) == 0 {
		b.MeasuredSetting = l.control.Stands()
	}
	if l.cfg.Instructs {
		b.Instructions = l.instructs()
	}
	if l.cfg.Within > 0 {
		b.AnswerWithinMs = proto.Float64(float64(l.cfg.Within) / 1e6)
	}
	return b
}

// anew gives a refused board to be sent again. Its axes, if measured, are measured anew:
// other boards may have moved them since.
func (l *line) anew(b *ripwrightv1.LineBoard) *ripwrightv1.LineBoard {
	if b.GetMeasuredSetting() == nil {
		return b
	}
	b = proto.CloneOf(b)
	b.MeasuredSetting = l.control.Stands()
	return b
}

// due reports whether it is time for the next board.
func (l *line) due() bool {
	if l.cfg.Every == 0 {
		return true
	}
	now := time.Now()
	if l.nextAt.IsZero() {
		l.nextAt = now
	}
	if now.Before(l.nextAt) {
		return false
	}
	l.nextAt = l.nextAt.Add(l.cfg.Every)
	return true
}

// change sends the order again, with the same items at other values.
func (l *line) change() {
	o := proto.CloneOf(l.cfg.SetUp.GetOrder())
	for _, it := range o.GetItems() {
		it.Value = math.Round(it.GetValue()*(80+40*l.rng.Float64())) / 100
		it.Made = nil
	}
	l.queue(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_OrderChange{OrderChange: &ripwrightv1.OrderChange{Order: o}}})
}

// confirm sends the outcome of the board that has waited longest, and now and then sends
// it twice.
func (l *line) confirm() {
	sequence := l.waiting[0]
	l.waiting = l.waiting[1:]
	c := &ripwrightv1.CutConfirmation{BoardSequence: sequence, Outcome: ripwrightv1.CutOutcome_CUT_OUTCOME_AS_PLANNED}
	p := l.plans[sequence]
	switch draw := l.rng.Float64(); {
	case draw < 0.70:
	case draw < 0.80:
		c.Outcome = ripwrightv1.CutOutcome_CUT_OUTCOME_AS_MEASURED
		c.Strips = l.measure(p.GetPlan())
	case draw < 0.84:
		c.Outcome = ripwrightv1.CutOutcome_CUT_OUTCOME_NOT_CUT
	case draw < 0.88:
		c.Outcome = ripwrightv1.CutOutcome_CUT_OUTCOME_SENT_BACK
	case draw < 0.94 && len(p.GetRunnersUp()) > 0:
		c.Outcome, c.RunnerUp = ripwrightv1.CutOutcome_CUT_OUTCOME_RUNNER_UP, proto.Int32(0)
	case draw < 0.97:
		c.Outcome = ripwrightv1.CutOutcome_CUT_OUTCOME_SOMETHING_ELSE
		c.Strips = []*ripwrightv1.CutStrip{{ItemId: "rail", WidthMm: 50, Stretches: []*ripwrightv1.CutStretch{{LengthMm: 700.123}, {LengthMm: 450}}, Stack: "9"},
			{WidthMm: 31, Stretches: []*ripwrightv1.CutStretch{{LengthMm: 600}}}}
	}
	c.BoardId = p.GetBoardId()
	switch {
	case l.refused[sequence]: // kept out
		l.leave(c)
	case p.GetDoNotFeed() != nil:
		l.report.Idle++
		l.leave(c)
	default:
		l.saw(c, p)
	}
	for range 1 + l.rng.IntN(10)/9 {
		l.queue(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Confirmation{Confirmation: c}})
	}
}

// saw sets the axes according to the outcome of a board, and now and then measures where
// they then stand.
func (l *line) saw(c *ripwrightv1.CutConfirmation, p *ripwrightv1.LinePlan) {
	measured := l.axes.IntN(2) == 0
	switch c.GetOutcome() {
	case ripwrightv1.CutOutcome_CUT_OUTCOME_AS_PLANNED, ripwrightv1.CutOutcome_CUT_OUTCOME_AS_MEASURED:
		if err := l.control.Move(c.GetBoardSequence(), p); err != nil {
			if errors.Is(err, ErrMissed) {
				l.report.Stopped++
			} else {
				l.report.wrong("board %d: %v", c.GetBoardSequence(), err)
			}
			l.leave(c)
			return
		}
	case ripwrightv1.CutOutcome_CUT_OUTCOME_RUNNER_UP:
		l.control.Set(p.GetRunnersUp()[c.GetRunnerUp()].GetSetting(), 0)
	case ripwrightv1.CutOutcome_CUT_OUTCOME_SOMETHING_ELSE:
		s := l.control.Stands()
		fence := l.cfg.Saw.GetFence()
		s.FenceMm = proto.Float64(fence.GetMinMm() + l.axes.Float64()*(fence.GetMaxMm()-fence.GetMinMm()))
		l.control.Set(s, 0)
	default: // not cut: some were returned before anything moved, some after
		if l.axes.IntN(2) == 0 {
			l.control.Set(p.GetPlan().GetSetting(), 0)
		}
	}
	if measured {
		c.MeasuredSetting = l.control.Stands()
	}
}

// leave confirms a board that is not fed, with the measured position of the axes.
func (l *line) leave(c *ripwrightv1.CutConfirmation) {
	c.Outcome, c.Strips, c.RunnerUp = ripwrightv1.CutOutcome_CUT_OUTCOME_NOT_CUT, nil, nil
	c.MeasuredSetting = l.control.Stands()
}

// machine is the tolerance of the simulated machine, in mm.
const machine = 0.05

// drive moves the axes; now and then one gets stuck on its way.
func (l *line) drive(from, to []float64) []float64 {
	if l.axes.IntN(10) > 0 {
		return to
	}
	var moves []int
	for i := range to {
		if from[i] != to[i] {
			moves = append(moves, i)
		}
	}
	if len(moves) > 0 {
		i := moves[l.axes.IntN(len(moves))]
		to[i] = math.Round(100*(from[i]+l.axes.Float64()*(to[i]-from[i]))) / 100
	}
	return to
}

// measure gives a plan's strips as an outfeed would measure them: a little
// narrower and shorter.
func (l *line) measure(p *ripwrightv1.Plan) (all []*ripwrightv1.CutStrip) {
	for i, k := range p.GetPockets() {
		if k.GetItemId() == "" {
			continue
		}
		s := &ripwrightv1.CutStrip{ItemId: k.GetItemId(), Pocket: proto.Int32(int32(i)), WidthMm: math.Round((k.GetWidthMm()-0.2*l.rng.Float64())*100) / 100}
		if i%2 == 0 { // otherwise the pocket identifies it
			s.OrderId = k.GetOrderId()
		}
		for _, r := range k.GetStretches() {
			length := math.Round((r.GetToMm()-r.GetFromMm()-3*l.rng.Float64())*1000) / 1000
			s.Stretches = append(s.Stretches, &ripwrightv1.CutStretch{LengthMm: length})
		}
		all = append(all, s)
	}
	return all
}
