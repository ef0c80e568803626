package fences

import (
	"math"

	"github.com/ripwright/ripwright/solver/internal/search/model"
)

// settling finds the plan that comes first among roots of one score: by branch and bound
// over intervals of them, with the least travel over an interval of fences as the bound
// (see layered.Graph.Least).
type settling struct {
	*solver
	least int64  // travel of the best so far
	best  []root // with that travel, all of one fence
}

// settle gives the first plan of the roots that travels at most a distance, nil if there
// is none or the search ends meanwhile.
func (s *solver) settle(roots []root, most int64) *model.Plan {
	if len(roots) == 0 {
		return nil
	}
	x := settling{solver: s, least: most}
	from, to := s.m.Fence(int(roots[0].t)), s.m.Fence(int(roots[len(roots)-1].t+roots[len(roots)-1].n-1))
	s.gl.Within(from, to)
	s.gr.Within(from, to)
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

// bound is a lower bound on the travel of any plan of the roots, below 0 if none can be
// set. What it learns about parts of plans bounds them for any of the roots.
func (x *settling) bound(roots []root) int64 {
	m := x.m
	end := roots[len(roots)-1]
	f1, f2 := m.Fence(int(roots[0].t)), m.Fence(int(end.t+end.n-1))
	// Travels at the first and at the last fence, see layered.Graph.Ends. That of the
	// fence itself bends at its present place.
	var most [2]int64
	switch {
	case f1 >= m.Fence0:
		most = [2]int64{f1 - m.Fence0, f2 - m.Fence0}
	case f2 <= m.Fence0:
		most = [2]int64{m.Fence0 - f1, m.Fence0 - f2}
	}
	away := min(most[0], most[1])
	x.gl.Narrow(f1, f2, x.least-away)
	const none = int64(math.MaxInt64 / 8)
	between := none
	l := [2]int64{none, none}
	last := root{t: -1}
	for _, o := range roots {
		if x.profile.Over(32) {
			return -1
		}
		between = min(between, o.use.travel)
		if o.t != last.t || o.left != last.left {
			e, _ := x.entries(int(o.t))
			first, end := x.gl.Ends(int(o.left), e)
			l = [2]int64{min(l[0], first), min(l[1], end)}
			last = o
		}
	}
	if min(l[0], l[1]) >= none {
		return -1
	}
	most = [2]int64{most[0] + between + l[0], most[1] + between + l[1]}
	if away = min(most[0], most[1]); away > x.least {
		return away
	}
	x.gr.Narrow(f1, f2, x.least-away)
	r := [2]int64{none, none}
	last = root{t: -1}
	for _, o := range roots {
		if x.profile.Over(32) {
			return -1
		}
		if o.t != last.t || o.right != last.right {
			_, e := x.entries(int(o.t))
			first, end := x.gr.Ends(int(o.right), e)
			r = [2]int64{min(r[0], first), min(r[1], end)}
			last = o
		}
	}
	if min(r[0], r[1]) >= none {
		return -1
	}
	return min(most[0]+r[0], most[1]+r[1])
}

// learnt is how much the graphs of both sides have learnt.
type learnt struct{ l, r int }

func (x *settling) mark() learnt { return learnt{x.gl.Mark(), x.gr.Mark()} }

func (x *settling) undo(from, to learnt) {
	x.gl.Undo(from.l, to.l)
	x.gr.Undo(from.r, to.r)
}

func (x *settling) redo(from, to learnt) {
	x.gl.Redo(from.l, to.l)
	x.gr.Redo(from.r, to.r)
}

func (x *settling) drop(from learnt) {
	x.gl.Drop(from.l)
	x.gr.Drop(from.r)
}

// visit searches roots whose bound is what the graphs have learnt last.
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
	first := x.mark()
	ba := x.bound(a)
	second := x.mark()
	x.undo(first, second)
	bb := x.bound(b)
	end := x.mark()
	if bb >= 0 && (ba < 0 || bb < ba) {
		x.visit(b, bb)
		x.undo(second, end)
		x.redo(first, second)
		x.visit(a, ba)
		x.undo(first, second)
	} else {
		x.undo(second, end)
		x.redo(first, second)
		x.visit(a, ba)
		x.undo(first, second)
		x.redo(second, end)
		x.visit(b, bb)
		x.undo(second, end)
	}
	x.drop(first)
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

// plan gives the first plan of a root, with its known travel, or nil if the search ends
// meanwhile.
func (s *solver) plan(r root, travel int64) *model.Plan {
	f := s.m.Fence(int(r.t))
	s.gl.Within(f, f)
	s.gl.Allow(travel)
	s.gr.Within(f, f)
	s.gr.Allow(travel)
	l, e := s.entries(int(r.t))
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
