package rip

import (
	"cmp"
	"slices"
)

// found is a complete plan: positions and wants.
type found struct {
	score score
	skew  int64
	in    *instance // as the board lies at that skew
	fence int64
	path  path
	kind  kind
}

// cmp is below 0 if a comes before b, as by model.Plan.Compare. It is written again since
// wants are held in fewer bits here, so that to call that one each comparison would copy
// them; TestOrderOfPlans compares the two.
func (a *found) cmp(b *found) int {
	return cmp.Or(b.score.Cmp(&a.score), a.placed(b.skew, b.fence), a.path.cmp(&b.path))
}

// placed compares the skew and the fence, which order equally good plans.
func (a *found) placed(skew, fence int64) int {
	return cmp.Or(cmp.Compare(a.skew, skew), cmp.Compare(a.fence, fence))
}

// pool holds the best plans known, one of each kind, best first. It is passed from the
// search at one skew to that at the next.
type pool struct {
	size  int
	plans []*found
	skew  int64 // at hand
	in    *instance
}

// raise fills an empty pool with stand-ins that every plan worth the floor beats.
func (p *pool) raise(floor worth) {
	under := score{Worth: floor.Sub(worth{Lo: 1}), Dev: -1} // no plan of the same worth comes before it
	for i := range p.size {
		p.plans = append(p.plans, &found{score: under, kind: kind{^uint64(i), ^uint64(i)}})
	}
}

// real gives the plans without stand-ins.
func (p *pool) real() []*found {
	return slices.DeleteFunc(slices.Clone(p.plans), func(f *found) bool { return f.in == nil })
}

func (p *pool) full() bool    { return len(p.plans) == p.size }
func (p *pool) worst() *found { return p.plans[len(p.plans)-1] }

// least is the worth that a plan must reach to matter.
func (p *pool) least() worth {
	if !p.full() {
		return worth{}
	}
	return p.worst().score.Worth
}

func (p *pool) offer(sc score, fence int64, at *path, k kind) {
	f := found{score: sc, skew: p.skew, in: p.in, fence: fence, path: *at, kind: k}
	same := slices.IndexFunc(p.plans, func(g *found) bool { return g.kind == k })
	switch {
	case same >= 0 && f.cmp(p.plans[same]) >= 0:
		return
	case same < 0 && p.full() && f.cmp(p.worst()) >= 0:
		return
	case same >= 0:
		p.plans = slices.Delete(p.plans, same, same+1)
	case p.full():
		p.plans = p.plans[:len(p.plans)-1]
	}
	kept := &found{score: f.score, skew: f.skew, in: f.in, fence: f.fence, path: *at.clone(), kind: k}
	i, _ := slices.BinarySearchFunc(p.plans, kept, (*found).cmp)
	p.plans = slices.Insert(p.plans, i, kept)
}

// beaten reports whether no plan with at most this score, its fence at f or beyond, can
// enter the pool.
func (p *pool) beaten(sc *score, fence int64, k kind) bool {
	for _, g := range p.plans {
		if g.kind == k {
			c := sc.Cmp(&g.score)
			return c < 0 || c == 0 && g.placed(p.skew, fence) < 0
		}
	}
	return p.outclassed(sc, fence)
}

// outclassed is beaten for plans of any kind.
func (p *pool) outclassed(sc *score, fence int64) bool {
	if !p.full() {
		return false
	}
	c := sc.Cmp(&p.worst().score)
	return c < 0 || c == 0 && p.worst().placed(p.skew, fence) < 0
}
