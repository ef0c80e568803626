package wire

import (
	"math"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/run"
	"github.com/ripwright/ripwright/solver/unit"
)

var outcomes = map[ripwrightv1.CutOutcome]run.Outcome{
	ripwrightv1.CutOutcome_CUT_OUTCOME_AS_PLANNED:     run.AsPlanned,
	ripwrightv1.CutOutcome_CUT_OUTCOME_AS_MEASURED:    run.AsMeasured,
	ripwrightv1.CutOutcome_CUT_OUTCOME_NOT_CUT:        run.NotCut,
	ripwrightv1.CutOutcome_CUT_OUTCOME_RUNNER_UP:      run.RunnerUp,
	ripwrightv1.CutOutcome_CUT_OUTCOME_SOMETHING_ELSE: run.SomethingElse,
	ripwrightv1.CutOutcome_CUT_OUTCOME_SENT_BACK:      run.SentBack,
}

// Confirmation reads what became of a board on a line.
func Confirmation(m *ripwrightv1.CutConfirmation) (run.Confirmation, fault.List) {
	var r reader
	p := at(nil, "")
	c := run.Confirmation{
		Sequence: int32(r.number(&p, "board_sequence", float64(m.GetBoardSequence()), ofBoard)),
		Outcome:  r.outcome(m.GetOutcome()),
		RunnerUp: int(r.number(&p, "runner_up", float64(m.GetRunnerUp()), whichRunUp)),
		Strips:   r.strips(m.GetStrips()),
	}
	if len(r.faults) > 0 {
		return c, r.faults
	}
	if c.RunnerUp != 0 && c.Outcome != run.RunnerUp {
		r.faults.Add("runner_up", "is %d; must be 0 unless outcome is CUT_OUTCOME_RUNNER_UP", c.RunnerUp)
	}
	if len(c.Strips) > 0 && !c.Outcome.Measured() {
		r.faults.Add("strips", "has %d entries; must be empty unless outcome is CUT_OUTCOME_AS_MEASURED or CUT_OUTCOME_SOMETHING_ELSE", len(c.Strips))
	}
	return c, r.faults
}

// oneBoard lets a confirmation be read as the other calls about one board are.
type oneBoard struct{ *ripwrightv1.ConfirmCutRequest }

func (oneBoard) GetOptions() *ripwrightv1.SolveOptions { return nil }

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
	if all := join(r.faults, j.Problem.Faults()); len(all) > 0 {
		return nil, nil, c, all
	}
	return j, wanted(j.Problem.Items, j.Items, m.GetOrder()), c, nil
}

func (r *reader) outcome(m ripwrightv1.CutOutcome) run.Outcome {
	o, ok := outcomes[m]
	if !ok {
		r.faults.Add("outcome", "is %d; must be CUT_OUTCOME_AS_PLANNED, CUT_OUTCOME_AS_MEASURED, CUT_OUTCOME_NOT_CUT, "+
			"CUT_OUTCOME_RUNNER_UP, CUT_OUTCOME_SOMETHING_ELSE or CUT_OUTCOME_SENT_BACK", m)
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
		out[i] = run.Measured{Item: s.GetItemId(), Stack: s.GetStack(), Width: r.mm(&p, "width_mm", s.GetWidthMm(), stripWidth)}
		if r.entries(&p, "runs_mm", len(s.GetRunsMm()), runs) {
			out[i].Runs = r.lengths(&p, s.GetRunsMm())
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

// lengths reads the runs of a strip, rounded to whole micrometres. Together they
// are no longer than any board.
func (r *reader) lengths(p *place, m []float64) []unit.Run {
	out := make([]unit.Run, len(m))
	var sum unit.Run
	for k, v := range m {
		q := nth(p, "runs_mm", k)
		out[k] = unit.Run(math.Round(r.number(&q, "", v, oneRun) * 1e3))
		sum += out[k]
	}
	if longest := unit.Run(order.MaxLength / unit.Micrometre); sum > longest {
		r.faults.Add(p.path("runs_mm"), "come to %g mm; no board is longer than %g mm", sum.MM(), longest.MM())
	}
	return out
}

// Confirmed answers ConfirmCut.
func (j *Job) Confirmed(after *run.Run, s *run.Settled, before bool) *ripwrightv1.ConfirmCutResponse {
	out := &ripwrightv1.ConfirmCutResponse{CountedBefore: before}
	if s.Outcome.Cut() && s.Held.Face > 0 {
		out.Yield = float64(s.Way.Parts.Strip) / float64(s.Held.Face)
	}
	for i := range j.Problem.Items {
		it := &j.Problem.Items[i]
		k := run.Key{Order: j.OrderID, Item: it.ID}
		cut := func(i int) int64 { return after.MadeCuts(k, it.Cuts[i].Length) }
		f := new(ripwrightv1.Fill)
		j.fill(f, i, after.Made(k), cut)
		out.Fills = append(out.Fills, f)
	}
	return out
}
