//go:build verify

package scraped

import (
	"math"
	"strconv"
	"strings"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// books are a line client's own record of its boards: what it received and what it did.
// None of it is computed by the service's code.
type books struct {
	saw, changed, order string
	edges               []float64 // kerf

	boards map[int32]*ripwrightv1.Board    // sent
	plans  map[int32]*ripwrightv1.LinePlan // that wait for confirmation
	fills  []*ripwrightv1.Fill             // of the last answer

	planned, refused         float64
	outcomes                 map[string]float64
	plannedUses, uses        map[string]float64
	sawn, travel             map[string]float64 // by blade
	solveTimes               []float64          // s
	plannedLength, cutLength map[string]float64 // by item
	wider, measured          map[string]float64 // by pocket: mm in total, and strips
	running, standing        float64            // s
	doubts                   map[string]float64 // by kind
}

func newBooks(saw *ripwrightv1.Saw, order string) *books {
	return &books{saw: saw.GetName(), changed: saw.GetBladesChanged(), order: order, edges: []float64{saw.GetKerfMm()},
		boards: map[int32]*ripwrightv1.Board{}, plans: map[int32]*ripwrightv1.LinePlan{}, outcomes: map[string]float64{},
		plannedUses: map[string]float64{}, uses: map[string]float64{}, sawn: map[string]float64{}, travel: map[string]float64{},
		plannedLength: map[string]float64{}, cutLength: map[string]float64{}, wider: map[string]float64{}, measured: map[string]float64{}, doubts: map[string]float64{}}
}

func (b *books) heard(m *ripwrightv1.RunLineRequest, a *ripwrightv1.RunLineResponse) {
	b.fills = a.GetFills()
	switch r := a.GetAnswer().(type) {
	case *ripwrightv1.RunLineResponse_Plan:
		b.planned++
		b.boards[a.GetSequence()], b.plans[a.GetSequence()] = m.GetBoard().GetBoard(), r.Plan
		b.solveTimes = append(b.solveTimes, r.Plan.GetSolveTimeUs()/1e6)
		account(b.plannedUses, r.Plan.GetPlan().GetAccount())
		for _, k := range r.Plan.GetPlan().GetPockets() {
			b.plannedLength[k.GetItemId()] += k.GetCountedLengthM()
		}
	case *ripwrightv1.RunLineResponse_Refused:
		b.refused++
	case *ripwrightv1.RunLineResponse_Settled:
		if r.Settled.GetResult() == ripwrightv1.ConfirmationResult_CONFIRMATION_RESULT_COUNTED {
			for _, d := range r.Settled.GetDoubts() {
				b.doubts[strings.ToLower(strings.TrimPrefix(d.GetKind().String(), "STRIP_DOUBT_KIND_"))]++
			}
		}
		if c := m.GetConfirmation(); b.plans[c.GetBoardSequence()] != nil {
			b.settle(c)
		}
	}
}

func account(uses map[string]float64, a *ripwrightv1.Account) {
	for use, area := range map[string]float64{"strip": a.GetStripM2(), "end_trim": a.GetEndTrimM2(), "offcut": a.GetOffcutM2(),
		"edging": a.GetEdgingM2(), "kerf": a.GetKerfM2(), "other": a.GetOtherM2()} {
		uses[use] += area
	}
}

func (b *books) settle(c *ripwrightv1.CutConfirmation) {
	p, wood := b.plans[c.GetBoardSequence()], b.boards[c.GetBoardSequence()]
	delete(b.plans, c.GetBoardSequence())
	b.outcomes[strings.ToLower(strings.TrimPrefix(c.GetOutcome().String(), "CUT_OUTCOME_"))]++
	plan := p.GetPlan()
	switch c.GetOutcome() {
	case ripwrightv1.CutOutcome_CUT_OUTCOME_NOT_CUT, ripwrightv1.CutOutcome_CUT_OUTCOME_SENT_BACK, ripwrightv1.CutOutcome_CUT_OUTCOME_SET_ASIDE:
		return
	case ripwrightv1.CutOutcome_CUT_OUTCOME_RUNNER_UP:
		plan = p.GetRunnersUp()[c.GetRunnerUp()]
		account(b.uses, plan.GetAccount())
	case ripwrightv1.CutOutcome_CUT_OUTCOME_AS_MEASURED, ripwrightv1.CutOutcome_CUT_OUTCOME_SOMETHING_ELSE:
		strips := 0.0
		for _, s := range c.GetStrips() {
			if s.Pocket != nil {
				k := plan.GetPockets()[s.GetPocket()]
				// Labels by name: far_blade, near_blade.
				at := strconv.Itoa(int(k.GetFarBlade())) + " " + strconv.Itoa(int(k.GetNearBlade()))
				b.measured[at]++
				b.wider[at] += s.GetWidthMm() - k.GetWidthMm()
			}
			for _, r := range s.GetStretches() {
				strips += s.GetWidthMm() * r.GetLengthMm() / 1e6
			}
		}
		b.uses["strip"] += strips
		b.uses["other"] += plan.GetAccount().GetFaceM2() - strips
	case ripwrightv1.CutOutcome_CUT_OUTCOME_AS_PLANNED, ripwrightv1.CutOutcome_CUT_OUTCOME_UNSPECIFIED:
		account(b.uses, plan.GetAccount())
	}
	if c.GetOutcome() == ripwrightv1.CutOutcome_CUT_OUTCOME_SOMETHING_ELSE {
		return // where the blades moved is unknown
	}
	from := map[string]float64{}
	for _, t := range p.GetTargets() {
		if t.Blade != nil {
			from[strconv.Itoa(int(t.GetBlade()))] = t.GetFromPosition()
		}
	}
	for i, at := range plan.GetSetting().GetBladesMm() {
		blade := strconv.Itoa(i)
		b.sawn[blade] += inWood(wood, at-plan.GetSetting().GetFenceMm(), b.edges[0]) / 1000
		if was, moves := from[blade]; moves {
			b.travel[blade] += math.Abs(at-was) / 1000
		}
	}
}

// inWood is the length of wood in mm in a kerf whose near face lies at y: the fraction of
// its width that is wood, summed along the board.
func inWood(b *ripwrightv1.Board, y, kerf float64) (length float64) {
	const steps = 4000
	dx := b.GetLengthMm() / steps
	s, k := b.GetStations(), 0
	for i := range steps {
		x := (float64(i) + 0.5) * dx
		for k+2 < len(s) && s[k+1].GetXMm() < x {
			k++
		}
		part := (x - s[k].GetXMm()) / (s[k+1].GetXMm() - s[k].GetXMm())
		near := s[k].GetNearMm() + part*(s[k+1].GetNearMm()-s[k].GetNearMm())
		far := s[k].GetFarMm() + part*(s[k+1].GetFarMm()-s[k].GetFarMm())
		length += dx * max(0, min(far, y+kerf)-max(near, y)) / kerf
	}
	return length
}
