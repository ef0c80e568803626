package fences

import (
	"math"

	"github.com/ripwright/ripwright/solver/internal/search/costtogo"
	"github.com/ripwright/ripwright/solver/internal/search/model"
	"github.com/ripwright/ripwright/solver/unit"
)

// piece is an interval of fence stops with a bound on the worth of its plans.
type piece struct {
	from, to int
	bound    unit.Worth
	shifted  bool // whether it has also been bounded by shifted tables
	dull     bool
	away     int // stops from where the fence stands
}

// most lowers the bound of a piece to v.
func (p *piece) most(v unit.Worth) {
	if v.Cmp(p.bound) < 0 {
		p.bound = v
	}
}

// close finds the best plan of a piece, with tables that take travels into account or
// not, and sharpens its bound. If it is Closed without a plan, the piece has none.
func (s *solver) close(p *piece, travels bool, r *Result) (*model.Plan, Reason) {
	for {
		r.Rounds++
		r.States = s.states.Count
		plan, open := s.round(p, travels, r)
		if open != Caps {
			return plan, open
		}
		if plan == nil || s.keep(s.m.Overrun(plan)) {
			continue
		}
		r.Exact = true
		exact, open := s.exactly(p, plan)
		if open != Caps || s.mostStates >= moreStates {
			return exact, open
		}
		if s.mostStates = moreStates; !s.keep(s.m.Overrun(plan)) {
			return exact, open
		}
	}
}

// keep gives states to caps and reports whether any gained states.
func (s *solver) keep(caps []int) (more bool) {
	for _, c := range caps {
		more = s.states.Keep(c, s.mostStates) || more
	}
	return more
}

// free gives back what the last round held.
func (s *solver) free() {
	s.profile.Release()
	now, _ := s.budget.Held()
	s.budget.Free(now - s.held)
}

// round is close with the present states. With Caps it gives the plan that breaks some,
// or none if these have states by now.
func (s *solver) round(p *piece, travels bool, r *Result) (*model.Plan, Reason) {
	s.from, s.to = p.from, p.to
	lo, hi := s.m.Fence(p.from), s.m.Fence(p.to)
	s.free()
	for _, x := range []*costtogo.Side{s.left, s.right} {
		x.Within(lo, hi, travels)
		if !x.Build(s.states) {
			return nil, Unserved
		}
	}
	s.gl.Reset(s.left, s.budget)
	s.gr.Reset(s.right, s.budget)
	if s.stopped() {
		return nil, Unserved
	}
	s.between.begin(s.states, s.budget)
	s.hold(2 * s.states.Count * s.between.useBytes()) // for uses in progress
	first := s.bound()
	if s.stopped() {
		return nil, Unserved
	}
	p.most(s.profile.Worth(max(s.bounds[first], 0)))
	if s.bounds[first] < 0 || s.incumbent != nil && s.bounds[first] < s.profile.Down(s.incumbent.Score.Worth)-s.profile.Slack {
		return nil, Closed
	}
	roots, top, met, open := s.ties(first, travels, r)
	switch {
	case s.stopped():
		return nil, Unserved
	case open != Closed:
		return nil, open
	}
	p.most(s.profile.Worth(max(met, 0)))
	if len(roots) == 0 {
		return nil, Closed
	}
	most, tied := int64(math.MaxInt64), false
	if s.incumbent != nil {
		bare := s.incumbent.Score
		most, bare.Travel = bare.Travel, 0
		c := top.Cmp(&bare)
		if c < 0 {
			return nil, Closed
		}
		if tied = c == 0; !tied {
			most = math.MaxInt64
		}
	}
	plan := s.settle(roots, most)
	switch {
	case s.stopped():
		return nil, Unserved
	case plan == nil && tied: // whatever else there is comes after the incumbent
		return nil, Closed
	case plan == nil:
		return nil, Travels
	}
	sc, valid := s.m.Rate(plan)
	over := s.m.Overrun(plan)
	bare := sc
	bare.Travel = 0
	switch {
	case bare != top || sc.Travel != plan.Score.Travel || s.profile.Up(sc.Worth) < met-s.profile.Slack || !valid && len(over) == 0:
		return nil, Unmet
	case !valid:
		return plan, Caps
	}
	plan.Score, p.bound = sc, sc.Worth
	return plan, Closed
}
