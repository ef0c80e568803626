package withhold

import (
	"fmt"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/audit"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// The numbers of a message are read back here, by code that shares nothing with the code
// that writes them, and must equal the checked ones up to the last digits of a float.

// Solved compares an answer with the result that was checked.
func Solved(j *wire.Job, r *rip.Result, m *ripwrightv1.SolveBoardResponse) error {
	c := comparer{j: j}
	c.plans(r, m.GetPlan(), m.GetRunnersUp(), m.GetProof())
	c.instructed(m.GetInstructed())
	c.fills(r.Best, m.GetFills())
	return of(c.found)
}

// Scored compares the answer about a setting with what was checked.
func Scored(j *wire.Job, s *rip.Checked, best *rip.Result, m *ripwrightv1.CheckPlanResponse) error {
	c := comparer{j: j}
	c.plans(best, m.GetOptimum(), nil, m.GetProof())
	c.compare(s.Plan, m.GetPlan())
	c.fills(s.Plan, m.GetFills())
	if short := money(c.net(best.Best).Sub(c.net(s.Plan))); !near(m.GetDistance(), short) {
		c.differ("says that the setting is %g from the optimum; it is %g", m.GetDistance(), short)
	}
	if len(s.Broken) != len(m.GetBrokenRules()) {
		c.differ("says that %d rules are broken; %d are", len(m.GetBrokenRules()), len(s.Broken))
	}
	return of(c.found)
}

// Drawn compares the plan sent with a picture with the plan that was checked.
func Drawn(j *wire.Job, p *rip.Plan, m *ripwrightv1.DrawPlanResponse) error {
	c := comparer{j: j}
	c.compare(p, m.GetPlan())
	return of(c.found)
}

// Line compares a line's plan with the result that was checked.
func Line(j *wire.Job, r *rip.Result, m *ripwrightv1.LinePlan) error {
	c := comparer{j: j}
	c.plans(r, m.GetPlan(), m.GetRunnersUp(), m.GetProof())
	c.instructed(m.GetInstructed())
	c.targets(r.Best, m.GetTargets())
	c.cutLines(r.Best, m.GetCutLines())
	return of(c.found)
}

type comparer struct {
	j     *wire.Job
	plan  int
	found []audit.Difference
}

func (c *comparer) differ(format string, args ...any) {
	if len(c.found) < 20 {
		c.found = append(c.found, audit.Difference{Kind: Message, Plan: c.plan, Says: fmt.Sprintf(format, args...)})
	}
}

func (c *comparer) net(p *rip.Plan) unit.Worth { return audit.Net(&c.j.Problem, terms(c.j), p) }

func (c *comparer) plans(r *rip.Result, best *ripwrightv1.Plan, more []*ripwrightv1.Plan, proof *ripwrightv1.Proof) {
	c.compare(r.Best, best)
	if len(more) > len(r.RunnersUp) || len(more) < len(r.RunnersUp) && more != nil {
		c.differ("has %d runners-up; there are %d", len(more), len(r.RunnersUp))
		return
	}
	for i, m := range more {
		c.plan = i + 1
		c.compare(r.RunnersUp[i], m)
	}
	c.plan = 0
	if !near(proof.GetBound(), money(r.Bound)) || !near(proof.GetWorth(), money(c.net(r.Best))) || proof.GetProven() != r.Proven ||
		r.Proven != (proof.GetEndedBy() == ripwrightv1.EndedBy_ENDED_BY_NO_LIMIT) {
		c.differ("the proof says worth %g, bound %g, proven %v, ended by %v", proof.GetWorth(), proof.GetBound(), proof.GetProven(), proof.GetEndedBy())
	}
}

func (c *comparer) compare(p *rip.Plan, m *ripwrightv1.Plan) {
	if len(m.GetSetting().GetBladesMm()) != len(p.Blades) || len(m.GetPockets()) != len(p.Pockets) {
		c.differ("has %d blades and %d pockets; there are %d and %d", len(m.GetSetting().GetBladesMm()), len(m.GetPockets()), len(p.Blades), len(p.Pockets))
		return
	}
	if !mm(m.GetSetting().GetFenceMm(), p.Fence) || !mm(m.GetSetting().GetSkewMmPerM(), p.Skew) || !mm(m.GetTravelMm(), p.Travel) || !mm(m.GetDeviationMm(), p.Deviation) ||
		int(m.GetBladesInWood()) != p.BladesInWood || !near(m.GetWorth(), money(p.Worth)) {
		c.differ("fence %g, skew %g, travel %g, deviation %g mm, %d blades in the wood, worth %g are not the plan's", m.GetSetting().GetFenceMm(), m.GetSetting().GetSkewMmPerM(),
			m.GetTravelMm(), m.GetDeviationMm(), m.GetBladesInWood(), m.GetWorth())
	}
	c.turn(p, m)
	for i, a := range p.Blades {
		if v := m.GetSetting().GetBladesMm()[i]; !mm(v, a) {
			c.differ("blade %d stands at %g mm; it was checked at %d nm", i, v, a)
		}
	}
	for i := range p.Pockets {
		if !c.pocket(&p.Pockets[i], m.GetPockets()[i]) {
			c.differ("pocket %d is not the plan's", i)
		}
	}
	switch {
	case c.whole():
		c.account(&p.Account, m.GetAccount())
	case m.GetAccount() != nil:
		c.differ("has an account that was not asked for")
	}
}

// turn compares how the board is reported as turned, which is reported only if turns were
// asked for or occur.
func (c *comparer) turn(p *rip.Plan, m *ripwrightv1.Plan) {
	said := c.j.Turns || p.Turn != wood.AsScanned
	if (m.TurnCost != nil) != said || (m.GetSetting().Turn != nil) != said {
		c.differ("the turn is %v and its cost %v; both must be reported: %t", m.GetSetting().GetTurn(), m.GetTurnCost(), said)
		return
	}
	cost := 0.0
	for _, w := range c.j.Problem.Saw.Turns {
		if w.Turn == p.Turn {
			cost = float64(w.Cost) / 1e6
		}
	}
	if said && (!near(m.GetTurnCost(), cost) || m.GetSetting().GetTurn() != ripwrightv1.BoardTurn(p.Turn)+ripwrightv1.BoardTurn_BOARD_TURN_AS_SCANNED) {
		c.differ("turns the board %v, at a cost of %g; the plan that was checked turns it %s, at %g", m.GetSetting().GetTurn(), m.GetTurnCost(), p.Turn, cost)
	}
}

// whole reports whether plans were asked for in full.
func (c *comparer) whole() bool {
	return c.j.Detail.GetPlans() != ripwrightv1.PlanDetail_PLAN_DETAIL_POCKETS
}

func (c *comparer) pocket(k *rip.Pocket, m *ripwrightv1.Pocket) bool {
	left, item, order := rip.FenceSide, "", ""
	if m.NearBlade != nil {
		left = int(m.GetNearBlade())
	}
	if k.Item != rip.None {
		if item = c.j.Problem.Items[k.Item].ID; k.Item >= c.j.Own() {
			var items []*ripwrightv1.Item
			order, items = c.j.Next()
			item = items[k.Item-c.j.Own()].GetItemId()
		}
	}
	same := left == k.LeftBlade && m.FarBlade != nil && int(m.GetFarBlade()) == k.RightBlade && m.GetItemId() == item && m.GetOrderId() == order &&
		mm(m.GetNearMm(), k.Left) && mm(m.GetFarMm(), k.Right) && mm(m.GetWidthMm(), k.Right-k.Left) &&
		um(m.GetCountedLengthM()*1e3, k.Counted) && near(m.GetWorth(), money(k.Worth))
	if !c.whole() {
		return same && len(m.GetStretches()) == 0 && len(m.GetPieces()) == 0
	}
	same = same && len(m.GetStretches()) == len(k.Runs) && len(m.GetPieces()) == len(k.Pieces)
	if !same {
		return false
	}
	for i, r := range m.GetStretches() {
		same = same && um(r.GetFromMm(), k.Runs[i].From) && um(r.GetToMm(), k.Runs[i].To)
	}
	for i, v := range m.GetPieces() {
		p := &k.Pieces[i]
		same = same && int(v.GetLengthIndex()) == p.Cut && mm(v.GetFromMm(), p.From) && mm(v.GetToMm(), p.To) && mm(v.GetLengthMm(), p.To-p.From)
	}
	return same
}

// um reports whether a number of millimetres equals run micrometres.
func um(v float64, run unit.Run) bool { return near(v*1e3, float64(run)) }

func (c *comparer) account(a *rip.Account, m *ripwrightv1.Account) {
	const m2 = 1e15
	area := func(v float64, a unit.Area) bool { return near(v*m2, float64(a)) }
	if !area(m.GetFaceM2(), a.Face) || !area(m.GetStripM2(), a.Strip) || !area(m.GetEndTrimM2(), a.EndTrim) || !area(m.GetOffcutM2(), a.Offcut) ||
		!area(m.GetEdgingM2(), a.Edging) || !area(m.GetKerfM2(), a.Kerf) || !area(m.GetCrosscutLossM2(), a.CrosscutLoss) ||
		!area(m.GetReripM2(), a.Rerip) || !near(m.GetReripWorth(), money(a.ReripWorth)) || m.GetOtherM2() != 0 ||
		a.Face > 0 && !near(m.GetYieldRatio()*float64(a.Face), float64(a.Strip)) {
		c.differ("the account is not the plan's")
	}
}

// targets compares the targets of everything that moves.
func (c *comparer) targets(p *rip.Plan, all []*ripwrightv1.Target) {
	s := &c.j.Problem.Saw
	moved, fence, skew := 0, false, s.Skew == 0
	for _, t := range all {
		ok := false
		switch i := int(t.GetBlade()); t.GetAxis() {
		case ripwrightv1.Axis_AXIS_FENCE:
			ok, fence = t.Blade == nil && mm(t.GetToPosition(), p.Fence) && mm(t.GetFromPosition(), s.Fence.Current), true
		case ripwrightv1.Axis_AXIS_BLADE:
			ok = t.Blade != nil && i >= 0 && i < len(s.Blades) && s.Blades[i].Moving && mm(t.GetToPosition(), p.Blades[i]) && mm(t.GetFromPosition(), s.Blades[i].Travel.Current)
			moved++
		case ripwrightv1.Axis_AXIS_SKEW:
			ok, skew = t.Blade == nil && mm(t.GetToPosition(), p.Skew), true
		case ripwrightv1.Axis_AXIS_UNSPECIFIED: // names nothing that moves
		}
		if !ok {
			c.differ("sends axis %v, blade %d, to %g", t.GetAxis(), t.GetBlade(), t.GetToPosition())
		}
	}
	for _, b := range s.Blades {
		if b.Moving {
			moved--
		}
	}
	if moved != 0 || !fence || !skew {
		c.differ("does not send everything that moves")
	}
}

// cutLines compares the reported cut lines on the board as it was scanned.
func (c *comparer) cutLines(p *rip.Plan, all []*ripwrightv1.CutLine) {
	if len(all) != p.BladesInWood {
		c.differ("has %d cut lines; %d blades cut", len(all), p.BladesInWood)
	}
	kerf := c.j.Problem.Saw.Kerf
	for _, l := range all {
		i := int(l.GetBlade())
		ok := i >= 0 && i < len(p.Blades) && mm(l.GetKerfMm(), kerf)
		if ok {
			start, end := audit.Scanned(&c.j.Problem.Board, p.Turn, p.Skew, p.Blades[i]-p.Fence, kerf)
			ok = mm(l.GetStartMm(), start) && mm(l.GetEndMm(), end)
		}
		if !ok {
			c.differ("blade %d is said to cut from %g to %g mm", i, l.GetStartMm(), l.GetEndMm())
		}
	}
}
