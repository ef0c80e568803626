package wire

import (
	"math"
	"slices"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/run"
	"github.com/ripwright/ripwright/solver/unit"
)

// outcomes omits the unspecified one, which is refused.
//
//exhaustive:ignore
var outcomes = map[ripwrightv1.CutOutcome]run.Outcome{
	ripwrightv1.CutOutcome_CUT_OUTCOME_AS_PLANNED:     run.AsPlanned,
	ripwrightv1.CutOutcome_CUT_OUTCOME_AS_MEASURED:    run.AsMeasured,
	ripwrightv1.CutOutcome_CUT_OUTCOME_NOT_CUT:        run.NotCut,
	ripwrightv1.CutOutcome_CUT_OUTCOME_RUNNER_UP:      run.RunnerUp,
	ripwrightv1.CutOutcome_CUT_OUTCOME_SOMETHING_ELSE: run.SomethingElse,
	ripwrightv1.CutOutcome_CUT_OUTCOME_SENT_BACK:      run.SentBack,
	ripwrightv1.CutOutcome_CUT_OUTCOME_SET_ASIDE:      run.SetAside,
}

// Confirmation reads the outcome of a board on a line.
func (l *Line) Confirmation(m *ripwrightv1.CutConfirmation) (run.Confirmation, fault.List) {
	var r reader
	p := at(nil, "")
	r.text(&p, "board_id", m.GetBoardId(), ids)
	c := run.Confirmation{
		Sequence: int32(r.number(&p, "board_sequence", float64(m.GetBoardSequence()), ofBoard)),
		Outcome:  r.outcome(m.GetOutcome()),
		RunnerUp: r.count(&p, "runner_up", m.RunnerUp, 0, whichRunUp),
		Strips:   r.strips(m.GetStrips()),
		Board:    m.GetBoardId(),
	}
	if at := r.measured(l.Saw.Saw, m.GetMeasuredSetting()); at != nil {
		c.Stands = at.At
	}
	if len(r.faults) > 0 {
		return c, r.faults
	}
	switch {
	case m.RunnerUp != nil && c.Outcome != run.RunnerUp:
		r.faults.Add("runner_up", "is %d; must be absent unless outcome is CUT_OUTCOME_RUNNER_UP", c.RunnerUp)
	case m.RunnerUp == nil && c.Outcome == run.RunnerUp:
		r.faults.Because(fault.Missing, "runner_up", "is missing; say which runner-up was cut, counted from 0")
	}
	if len(c.Strips) > 0 && !c.Outcome.Measured() {
		r.faults.Add("strips", "has %d entries; must be empty unless outcome is CUT_OUTCOME_AS_MEASURED or CUT_OUTCOME_SOMETHING_ELSE", len(c.Strips))
	}
	return c, r.faults
}

// Verdicts are the schema's words for what a confirmation did.
var Verdicts = map[run.Verdict]ripwrightv1.ConfirmationResult{
	run.Counted:          ripwrightv1.ConfirmationResult_CONFIRMATION_RESULT_COUNTED,
	run.CountedBefore:    ripwrightv1.ConfirmationResult_CONFIRMATION_RESULT_COUNTED_BEFORE,
	run.CountedOtherwise: ripwrightv1.ConfirmationResult_CONFIRMATION_RESULT_COUNTED_OTHERWISE,
	run.BoardRefused:     ripwrightv1.ConfirmationResult_CONFIRMATION_RESULT_BOARD_REFUSED,
	run.NoSuchBoard:      ripwrightv1.ConfirmationResult_CONFIRMATION_RESULT_NO_SUCH_BOARD,
	run.TooLongAgo:       ripwrightv1.ConfirmationResult_CONFIRMATION_RESULT_TOO_LONG_AGO,
}

// oneBoard lets a confirmation be read like the other calls about one board.
type oneBoard struct{ *ripwrightv1.ConfirmCutRequest }

func (oneBoard) GetOptions() *ripwrightv1.SolveOptions   { return nil }
func (oneBoard) GetCurrentSetting() *ripwrightv1.Setting { return nil }

// Confirm reads a ConfirmCut request. The error is a fault.List or an UnknownSaw.
func Confirm(m *ripwrightv1.ConfirmCutRequest, saws Saws) (*Job, []run.Wanted, run.Confirmation, error) {
	var r reader
	p := at(nil, "")
	r.text(&p, "confirmation_id", m.GetConfirmationId(), ownIDs)
	c := run.Confirmation{Sequence: 1, Outcome: r.outcome(m.GetOutcome()), Strips: r.strips(m.GetStrips())}
	j, err := r.job(oneBoard{m}, saws)
	if err != nil {
		return nil, nil, c, err
	}
	if len(c.Strips) > 0 && !c.Outcome.Cut() {
		r.faults.Add("strips", "has %d entries; must be empty where the board was not cut", len(c.Strips))
	}
	if len(c.Strips) == 0 && c.Outcome == run.RunnerUp {
		r.faults.Because(fault.Missing, "strips", "is empty; the service does not know what a runner-up made, so give the strips that came out")
	}
	for i := range c.Strips {
		c.Strips[i].Pocket = 0 // only a line knows the plan to which it refers
	}
	j.Detail = r.detail(at(nil, ""), "detail", m.GetDetail())
	if all := join(r.faults, j.Problem.Faults()); len(all) > 0 {
		return nil, nil, c, all
	}
	return j, wanted(j.Problem.Items, j.Items, m.GetOrder(), j.Problem.Saw.Step), c, nil
}

func (r *reader) outcome(m ripwrightv1.CutOutcome) run.Outcome {
	o, ok := outcomes[m]
	if !ok {
		r.faults.Because(fault.UnknownWord, "outcome", "is %d; must be CUT_OUTCOME_AS_PLANNED, CUT_OUTCOME_AS_MEASURED, CUT_OUTCOME_NOT_CUT, "+
			"CUT_OUTCOME_RUNNER_UP, CUT_OUTCOME_SOMETHING_ELSE, CUT_OUTCOME_SENT_BACK or CUT_OUTCOME_SET_ASIDE", m)
	}
	return o
}

func (r *reader) strips(m []*ripwrightv1.CutStrip) []run.Measured {
	top := at(nil, "")
	if !r.entries(&top, "strips", len(m), strips) {
		return nil
	}
	out := make([]run.Measured, len(m))
	for i, s := range m {
		p := nth(nil, "strips", i)
		r.text(&p, "item_id", s.GetItemId(), ids)
		r.text(&p, "stack", s.GetStack(), ids)
		r.text(&p, "order_id", s.GetOrderId(), ids)
		out[i] = run.Measured{Order: s.GetOrderId(), Item: s.GetItemId(), Stack: s.GetStack(), Width: r.mm(&p, "width_mm", s.GetWidthMm(), stripWidth)}
		if s.Pocket != nil {
			out[i].Pocket = 1 + r.count(&p, "pocket", s.Pocket, 0, ofPocket)
		}
		if r.entries(&p, "stretches", len(s.GetStretches()), runs) {
			out[i].Runs = r.stretches(&p, s.GetStretches())
		}
		if r.entries(&p, "pieces", len(s.GetPieces()), cuts) {
			for k, c := range s.GetPieces() {
				q := nth(&p, "pieces", k)
				out[i].Cuts = append(out[i].Cuts, run.CutMade{
					Length: r.mm(&q, "length_mm", c.GetLengthMm(), cutLength),
					Made:   int64(r.number(&q, "count", float64(c.GetCount()), pieceCount)),
				})
			}
		}
	}
	return out
}

// stretches reads the lengths of a strip's stretches, rounded to whole micrometres.
// Together they are no longer than any board.
func (r *reader) stretches(p *place, m []*ripwrightv1.CutStretch) []unit.Run {
	out := make([]unit.Run, len(m))
	var sum unit.Run
	for k, s := range m {
		q := nth(p, "stretches", k)
		out[k] = unit.Run(math.Round(r.number(&q, "length_mm", s.GetLengthMm(), oneRun) * 1e3))
		sum += out[k]
	}
	if longest := unit.Run(order.MaxLength / unit.Micrometre); sum > longest {
		r.faults.Add(p.path("stretches"), "come to %g mm; no board is longer than %g mm", sum.MM(), longest.MM())
	}
	return out
}

// Confirmed answers ConfirmCut.
func (j *Job) Confirmed(after *run.Run, s *run.Settled, v run.Verdict) *ripwrightv1.ConfirmCutResponse {
	out := &ripwrightv1.ConfirmCutResponse{Result: Verdicts[v], Doubts: Doubts(s.Doubts, "")}
	if s.Outcome.Cut() && s.Held.Face > 0 {
		out.YieldRatio = proto.Float64(float64(s.Way.Parts.Strip) / float64(s.Held.Face))
	}
	for i := range j.Problem.Items {
		it := &j.Problem.Items[i]
		changed := slices.ContainsFunc(s.Way.Strips, func(s run.Strip) bool { return s.Item == it.ID })
		if d := j.Detail.GetFills(); d == ripwrightv1.ItemDetail_ITEM_DETAIL_NONE || d == ripwrightv1.ItemDetail_ITEM_DETAIL_CHANGED && !changed {
			continue
		}
		k := run.Key{Order: j.OrderID, Item: it.ID}
		f := new(ripwrightv1.Fill)
		fillOf(f, it, j.Items[i].Count, after.Made(k), 0)
		f.Lengths = lengthFills(it, func(i int) int64 { return after.MadeCuts(k, it.Cuts[i].Length) }, func(int) int64 { return 0 })
		out.Fills = append(out.Fills, f)
	}
	return out
}
