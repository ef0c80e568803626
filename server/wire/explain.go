package wire

import (
	"time"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/rip"
)

// Explainer notes the parts of a job's search as they end.
type Explainer struct {
	now   func() time.Time
	since time.Time
	parts []*ripwrightv1.SearchPart
	of    map[rip.PartKind]*ripwrightv1.SearchPart
}

// Explain has the job's search told of from now on.
func (j *Job) Explain(now func() time.Time) *Explainer {
	e := &Explainer{now: now, since: now(), of: map[rip.PartKind]*ripwrightv1.SearchPart{}}
	j.Options.Watch = e.part
	return e
}

var partKinds = map[rip.PartKind]ripwrightv1.SearchPartKind{
	rip.Preparation: ripwrightv1.SearchPartKind_SEARCH_PART_KIND_PREPARATION,
	rip.Tables:      ripwrightv1.SearchPartKind_SEARCH_PART_KIND_TABLES,
	rip.Intervals:   ripwrightv1.SearchPartKind_SEARCH_PART_KIND_INTERVALS,
}

// part adds up parts of a kind. Where there are several none bounds all plans.
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
	of := make([]*ripwrightv1.ItemDifference, len(j.Problem.Items))
	at := func(k *rip.Pocket) *ripwrightv1.ItemDifference {
		if of[k.Item] == nil {
			of[k.Item] = &ripwrightv1.ItemDifference{ItemId: j.Problem.Items[k.Item].ID}
		}
		return of[k.Item]
	}
	for i := range c.Plan.Pockets {
		if k := &c.Plan.Pockets[i]; k.Item != rip.None {
			d := at(k)
			d.SettingWidthsMm, d.SettingWorth = append(d.SettingWidthsMm, k.Width().MM()), d.SettingWorth+k.Worth.Money()
		}
	}
	for i := range best.Best.Pockets {
		if k := &best.Best.Pockets[i]; k.Item != rip.None {
			d := at(k)
			d.OptimumWidthsMm, d.OptimumWorth = append(d.OptimumWidthsMm, k.Width().MM()), d.OptimumWorth+k.Worth.Money()
		}
	}
	out := &ripwrightv1.Explanation{
		OffcutsFedAgain: best.Best.Account.ReripWorth.Sub(c.Plan.Account.ReripWorth).Money(),
		SawTime:         j.net(best.Best).Sub(best.Best.Worth).Sub(j.net(c.Plan).Sub(c.Plan.Worth)).Money(),
		Search:          e.parts,
	}
	for _, d := range of {
		if d != nil {
			d.Difference = d.OptimumWorth - d.SettingWorth
			out.Items = append(out.Items, d)
		}
	}
	return out
}
