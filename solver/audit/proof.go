package audit

import (
	"cmp"
	"slices"

	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/unit"
)

// Net is the worth of a plan less the price of its cycle and its turn, by which plans are
// compared.
func Net(p *rip.Problem, t Terms, plan *rip.Plan) unit.Worth {
	a := auditor{p: p, terms: t}
	return a.net(plan)
}

// net is the worth of a plan less the price of its cycle and its turn, by which plans are
// compared.
func (a *auditor) net(p *rip.Plan) unit.Worth {
	left := wide{p.Worth.Hi, p.Worth.Lo}.minus(a.turning(p.Turn))
	return left.minus(a.cycle(p)).worth()
}

// cycle is the price of a plan's cycle, in units of 1e-21.
func (a *auditor) cycle(p *rip.Plan) wide {
	if a.terms.Price == 0 {
		return wide{}
	}
	s := &a.p.Saw
	move := max(p.Fence-s.Fence.Current, s.Fence.Current-p.Fence)
	for i := range s.Blades {
		if b := &s.Blades[i]; b.Moving {
			move = max(move, p.Blades[i]-b.Travel.Current, b.Travel.Current-p.Blades[i])
		}
	}
	const second, minute = 1_000_000_000, 60_000_000_000
	pace := &a.terms.Pace
	var feed, positioning int64
	if pace.Feed == 0 {
		return wide{} // how long a board takes is not known
	}
	_, feed = ratio(int64(a.p.Board.Length), minute, pace.Feed)
	if pace.Positioning > 0 {
		_, positioning = ratio(int64(move), second, pace.Positioning)
	}
	total := feed + positioning + int64(pace.Handling)
	if pace.Overlaps {
		total -= min(positioning, int64(pace.Handling))
	}
	// Billionths a second times nanoseconds are 1e-18.
	return product(a.terms.Price, total).by(1000)
}

// before is below 0 if p comes before q in the order of plans, and 0 if they are the
// same.
func (a *auditor) before(p, q *rip.Plan) int {
	if c := cmp.Or(a.net(q).Cmp(a.net(p)), cmp.Compare(p.Turn, q.Turn)); c != 0 {
		return c
	}
	if c := cmp.Or(q.Worth.Cmp(p.Worth), cmp.Compare(p.Deviation, q.Deviation), cmp.Compare(q.StripArea, p.StripArea),
		cmp.Compare(p.BladesInWood, q.BladesInWood), cmp.Compare(p.Travel, q.Travel), cmp.Compare(p.Skew, q.Skew),
		cmp.Compare(p.Fence, q.Fence), slices.Compare(p.Blades, q.Blades)); c != 0 {
		return c
	}
	for i := range p.Pockets {
		if c := cmp.Compare(uint(p.Pockets[i].Item), uint(q.Pockets[i].Item)); c != 0 {
			return c // none comes after any item
		}
	}
	return 0
}

// compare checks the order of the plans, and that no two make the same items.
func (a *auditor) compare(r *rip.Result) {
	if len(r.RunnersUp) == 0 {
		return
	}
	each := len(r.Best.Pockets)
	all := make([]int, 0, (len(r.RunnersUp)+1)*each)
	makes := func(p *rip.Plan) []int {
		from := len(all)
		for i := range p.Pockets {
			all = append(all, p.Pockets[i].Item)
		}
		slices.Sort(all[from:])
		return all[from:]
	}
	makes(r.Best)
	last := r.Best
	for i, p := range r.RunnersUp {
		a.plan = i + 1
		mine := makes(p)
		for k := range i + 1 {
			if slices.Equal(mine, all[k*each:(k+1)*each]) {
				a.differ(RunnersUp, "makes the same as plan %d", k)
			}
		}
		if a.before(last, p) >= 0 {
			a.differ(RunnersUp, "comes before plan %d", i)
		}
		last = p
	}
	a.plan = 0
}

// proof checks the claims about the proof: the bound is no less than any plan at hand,
// and if the plan is proven it equals the bound and no limit ended the search.
func (a *auditor) proof(r *rip.Result) {
	// Runners-up have been found no better than the best.
	switch {
	case r.Bound.Cmp(a.net(r.Best)) < 0:
		a.differ(Proof, "the plan is worth more than the bound")
	case !r.Proven:
	case r.Bound != a.net(r.Best):
		a.differ(Proof, "proven, but the bound differs from the plan's worth")
	case r.EndedBy != rip.NoLimit:
		a.differ(Proof, "proven, but limit %d ended the search", r.EndedBy)
	}
}
