package fences

import (
	"math"

	"github.com/ripwright/ripwright/solver/internal/search/model"
)

// settling looks among roots of one score for the plan that comes first: by branch
// and bound over intervals of them, the least travel over an interval of fences
// being the bound (see layered.Graph.Least).
type settling struct {
	*solver
	least int64  // travel of the best so far
	best  []root // with that travel, all of one fence
}

// settle gives the first plan of the roots that travels no farther than most, nil
// where there is none or the search ends meanwhile.
func (s *solver) settle(roots []root, most int64) *model.Plan {
	if len(roots) == 0 {
		return nil
	}
	x := settling{solver: s, least: most}
	x.visit(roots, x.bound(roots))
	var first *model.Plan
	for _, r := range x.best {
		if s.stopped() {
			return nil
		}
		p := s.plan(r, x.least)
		if p == nil {
			return nil
		}
		if first == nil || p.Before(first) {
			first = p
		}
	}
	return first
}

// bound is at most the travel of any plan of the roots, below 0 where none can be set.
func (x *settling) bound(roots []root) int64 {
	m := x.m
	end := roots[len(roots)-1]
	f1, f2 := m.Fence(int(roots[0].t)), m.Fence(int(end.t+end.n-1))
	x.gl.Within(f1, f2)
	x.gr.Within(f1, f2)
	l, r := int64(math.MaxInt64/8), int64(math.MaxInt64/8)
	between := int64(math.MaxInt64 / 8)
	lt, rt := root{t: -1}, root{t: -1}
	for _, o := range roots {
		if x.profile.Over(32) {
			return -1
		}
		el, er := x.entries(m.Fence(int(o.t)))
		between = min(between, o.use.travel)
		if o.t != lt.t || o.left != lt.left {
			l = min(l, x.gl.Least(int(o.left), el))
			lt = o
		}
		if o.t != rt.t || o.right != rt.right {
			r = min(r, x.gr.Least(int(o.right), er))
			rt = o
		}
	}
	if l >= math.MaxInt64/8 || r >= math.MaxInt64/8 {
		return -1
	}
	return max(f1-m.Fence0, m.Fence0-f2, 0) + l + between + r
}

func (x *settling) visit(roots []root, bound int64) {
	switch {
	case bound < 0 || bound > x.least || x.stopped() || !x.budget.Spend(1):
		return
	case bound == x.least && len(x.best) > 0 && roots[0].t > x.best[0].t:
		return
	case len(roots) == 1 && roots[0].n == 1:
		if bound < x.least || len(x.best) == 0 || roots[0].t < x.best[0].t {
			x.best = x.best[:0]
		}
		x.least = bound
		x.hold(2 * rootBytes)
		x.best = append(x.best, roots[0])
		return
	}
	a, b := halves(roots)
	ba, bb := x.bound(a), x.bound(b)
	if bb >= 0 && (ba < 0 || bb < ba) {
		a, b, ba, bb = b, a, bb, ba
	}
	x.visit(a, ba)
	x.visit(b, bb)
}

func halves(roots []root) (a, b []root) {
	if n := len(roots); n > 1 {
		return roots[:n/2], roots[n/2:]
	}
	x, y := roots[0], roots[0]
	x.n = x.n / 2
	y.t, y.n = y.t+x.n, y.n-x.n
	return []root{x}, []root{y}
}

// plan gives the first plan of a root, which travels so far, or nil where the search
// ends meanwhile.
func (s *solver) plan(r root, travel int64) *model.Plan {
	f := s.m.Fence(int(r.t))
	s.gl.Within(f, f)
	s.gr.Within(f, f)
	l, e := s.entries(f)
	p := &model.Plan{Fence: f, Score: model.Score{Travel: travel}}
	right, last, ok := s.gr.Path(int(r.right), e)
	if !ok {
		return nil
	}
	if s.between.last < 0 {
		if p.Blades, p.Wants = right, last; !s.m.Board.StraightNear { // nothing lies before the first blade
			p.Wants = last[1:]
		}
		return p
	}
	left, first, ok := s.gl.Path(int(r.left), l)
	if !ok {
		return nil
	}
	p.Blades = append(append(append(append(p.Blades, left...), s.m.Blades[s.between.first].Lo), r.use.blades...), right...)
	p.Wants = append(append(append(p.Wants, first...), r.use.wants...), last...)
	return p
}
