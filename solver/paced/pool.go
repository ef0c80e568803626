package paced

import (
	"cmp"
	"fmt"
	"slices"

	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/unit"
)

// entry is a plan that was found.
type entry struct {
	plan *rip.Plan
	net  unit.Worth
	kind string // the multiset of its items
}

func kindOf(plan *rip.Plan) string {
	var items []int
	for i := range plan.Pockets {
		if k := plan.Pockets[i].Item; k != rip.None {
			items = append(items, k)
		}
	}
	slices.Sort(items)
	return fmt.Sprint(items)
}

// before is below 0 if a is the better plan: greater net worth, otherwise first in rip's
// order of plans.
func (a *entry) before(b *entry) int { return cmp.Or(b.net.Cmp(a.net), a.plan.Compare(b.plan)) }

// pool holds the best plans known, one of each kind, best first.
type pool struct {
	size int
	all  []*entry
}

func (p *pool) offer(e *entry) {
	if i := slices.IndexFunc(p.all, func(o *entry) bool { return o.kind == e.kind }); i >= 0 {
		if e.before(p.all[i]) >= 0 {
			return
		}
		p.all = slices.Delete(p.all, i, i+1)
	}
	i, _ := slices.BinarySearchFunc(p.all, e, (*entry).before)
	p.all = slices.Insert(p.all, i, e)
	p.all = p.all[:min(len(p.all), p.size)]
}

// least is the net worth that a plan must reach to enter, if there is one.
func (p *pool) least() (unit.Worth, bool) {
	if len(p.all) < p.size {
		return unit.Worth{}, false
	}
	return p.all[len(p.all)-1].net, true
}

// beats reports whether no plan with at most this net worth and worth can enter.
func (p *pool) beats(net, worth unit.Worth) bool {
	if len(p.all) < p.size {
		return false
	}
	last := p.all[len(p.all)-1]
	return cmp.Or(net.Cmp(last.net), worth.Cmp(last.plan.Worth)) < 0
}
