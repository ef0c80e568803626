package withhold

import (
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/audit"
	"github.com/ripwright/ripwright/solver/rip"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// told checks a plan under instructions and the plans against which its costs are stated.
func told(j *wire.Job, n *wire.Instructed, r *rip.Result) []audit.Difference {
	if n.Outcome == nil {
		return []audit.Difference{{Kind: audit.Told, Says: "the plan is not by the instructions"}}
	}
	plan := n.Outcome.Plan
	plan.Result = r
	found := audit.Instructed(&j.Problem, terms(j), &n.By, &plan)
	found = append(found, audit.Result(&j.Problem, terms(j), n.Outcome.Free)...)
	for i := range n.Outcome.Each {
		if one := n.By.Only(i); n.Outcome.Each[i].Result != nil {
			found = append(found, audit.Instructed(&j.Problem, terms(j), &one, &n.Outcome.Each[i])...)
		}
	}
	return found
}

// instructed compares the stated outcome of instructions with what was checked.
func (c *comparer) instructed(m *ripwrightv1.InstructionsOutcome) {
	n := c.j.Instructed()
	if n == nil || n.Outcome == nil {
		if m != nil {
			c.differ("says what instructions cost, but none were given")
		}
		return
	}
	o := n.Outcome
	free, net, bound := money(c.net(o.Free.Best)), c.net(o.Best), o.Free.Bound
	if m.GetKept() != o.Kept || len(m.GetEach()) != len(o.Each) || !near(m.GetCost(), money(c.net(o.Free.Best).Sub(net))) ||
		!near(m.GetCostBound(), money(bound.Sub(net))) || !near(m.GetFree().GetWorth(), free) || !near(m.GetFree().GetBound(), money(bound)) ||
		m.GetFree().GetProven() != o.Free.Proven || o.Free.Proven != (m.GetFree().GetEndedBy() == ripwrightv1.EndedBy_ENDED_BY_NO_LIMIT) {
		c.differ("says that instructions are kept %v and cost %g of %v", m.GetKept(), m.GetCost(), m.GetFree())
		return
	}
	for i, e := range m.GetEach() {
		one := &o.Each[i]
		if one.Result == nil {
			if e.Cost != nil || e.CostBound != nil || e.GetKept() {
				c.differ("says what instruction %d costs, which was not searched", i)
			}
			continue
		}
		net := c.net(one.Best)
		if e.GetKept() != one.Kept || e.Cost == nil || e.CostBound == nil || !near(e.GetCost(), money(c.net(o.Free.Best).Sub(net))) || !near(e.GetCostBound(), money(bound.Sub(net))) {
			c.differ("says that instruction %d is kept %v and costs %g", i, e.GetKept(), e.GetCost())
		}
	}
}
