package wire

import (
	"time"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/turned"
	"github.com/ripwright/ripwright/solver/unit"
)

// Explainer records the parts of a job's search as they end.
type Explainer struct {
	now   func() time.Time
	since time.Time
	parts []*ripwrightv1.SearchPart
	of    map[rip.PartKind]*ripwrightv1.SearchPart
}

// Explain records the job's search from now on.
func (j *Job) Explain(now func() time.Time) *Explainer {
	e := &Explainer{now: now, since: now(), of: make(map[rip.PartKind]*ripwrightv1.SearchPart)}
	j.Options.Watch = e.part
	return e
}

var partKinds = map[rip.PartKind]ripwrightv1.SearchPartKind{
	rip.Preparation: ripwrightv1.SearchPartKind_SEARCH_PART_KIND_PREPARATION,
	rip.Tables:      ripwrightv1.SearchPartKind_SEARCH_PART_KIND_TABLES,
	rip.Intervals:   ripwrightv1.SearchPartKind_SEARCH_PART_KIND_INTERVALS,
}

// part adds up parts of a kind. Of several parts none bounds all plans.
func (e *Explainer) part(p rip.Part) {
	now := e.now()
	s := e.of[p.Kind]
	if s == nil {
		s = &ripwrightv1.SearchPart{Kind: partKinds[p.Kind]}
		e.of[p.Kind] = s
		e.parts = append(e.parts, s)
	}
	s.Times++
	s.Work += float64(p.Work)
	s.TimeUs += micros(now.Sub(e.since))
	s.Best = max(s.Best, p.Best.Money())
	s.Bound = nil
	if p.Bounded && s.Times == 1 {
		bound := p.Bound.Money()
		s.Bound = &bound
	}
	e.since = now
}

// Explanation says why best is worth more than a setting that was checked.
func (e *Explainer) Explanation(j *Job, c *rip.Checked, best *rip.Result) *ripwrightv1.Explanation {
	out := &ripwrightv1.Explanation{
		OffcutsFedAgain: best.Best.Account.ReripWorth.Sub(c.Plan.Account.ReripWorth).Money(),
		SawTime:         j.paid(best.Best).Sub(j.paid(c.Plan)).Money(),
		Search:          e.parts,
	}
	if j.Turns {
		s := &j.Problem.Saw
		out.Turning = proto.Float64(turned.Cost(s, c.Plan.Turn).Sub(turned.Cost(s, best.Best.Turn)).Money())
	}
	for i := range j.Problem.Items {
		d := &ripwrightv1.ItemDifference{ItemId: j.Problem.Items[i].ID}
		d.SettingWidthsMm, d.SettingWorth = makes(c.Plan, i)
		d.OptimumWidthsMm, d.OptimumWorth = makes(best.Best, i)
		d.Difference = d.OptimumWorth - d.SettingWorth
		if len(d.SettingWidthsMm)+len(d.OptimumWidthsMm) > 0 {
			out.Items = append(out.Items, d)
		}
	}
	return out
}

// paid is the change of a plan's worth by the price of its cycle, 0 or less.
func (j *Job) paid(p *rip.Plan) unit.Worth {
	t := j.terms()
	return t.Net(&j.Problem, p).Sub(p.Worth)
}

// makes gives the widths of a plan's strips of an item, and their worth.
func makes(p *rip.Plan, item int) (widths []float64, worth float64) {
	for i := range p.Pockets {
		if k := &p.Pockets[i]; k.Item == item {
			widths, worth = append(widths, k.Width().MM()), worth+k.Worth.Money()
		}
	}
	return widths, worth
}
