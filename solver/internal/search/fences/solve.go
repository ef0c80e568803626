// Package fences finds the best plan for a saw with a fixed blade.
//
// For every fence stop the tables of both sides (costtogo) and the pockets between
// fixed blades bound what a plan can be worth; the greatest of these bounds is met,
// but for rounding, by a path through the tables. The fences whose bound lies within
// rounding of the greatest are scored exactly (layered), those of the best score
// kept, and intervals of them halved by the least travel that their paths can have,
// until one fence and one path are left.
//
// Travels and caps are left out at first. A plan that keeps them is the best with
// them, since they only take plans away. Caps that it breaks get states (resource)
// and all is done again. Where a travel keeps every best path from being set, or
// states do not keep a cap, the outcome is a bound and no plan.
//
// What is said to be proven has been scored anew by model.Rate, which shares nothing
// with the tables, and has met both the bound and the score that its path was given.
package fences

import (
	"slices"
	"sync"

	"github.com/ripwright/ripwright/solver/internal/search/budget"
	"github.com/ripwright/ripwright/solver/internal/search/costtogo"
	"github.com/ripwright/ripwright/solver/internal/search/layered"
	"github.com/ripwright/ripwright/solver/internal/search/model"
	"github.com/ripwright/ripwright/solver/internal/search/resource"
	"github.com/ripwright/ripwright/solver/unit"
)

// mostStates bounds the states of caps.
const mostStates = 48

// Result of Solve.
type Result struct {
	Plan   *model.Plan // the best that was found, nil where none was
	Bound  unit.Worth  // at least the worth of every valid plan
	Proven bool        // Plan is the optimum and the first of its ties
	Open   Reason      // why it is not proven
	States int         // of caps, in the last round
	Rounds int
	Fences int // that were scored exactly, in the last round
}

// Reason why nothing is proven.
type Reason int

// The reasons.
const (
	Closed   Reason = iota // it is proven
	Stopped                // by the budget
	Travels                // no travel lets any of the best plans be set
	Caps                   // states do not keep a cap that every best plan breaks
	Unserved               // for the memory there is
	Unmet                  // a score that does not meet its bound: a fault of this search
)

// scratch is memory that goes from one search to the next.
type scratch struct {
	buf    costtogo.Buffer
	gl, gr layered.Graph
	bounds []int64
}

var scratches = sync.Pool{New: func() any { return new(scratch) }}

// mostKept is how many bytes a scratch may hold to be kept: one hard board shall not
// tie up memory for good.
const mostKept = 1 << 23

// Solve finds the best plan of a problem that it Serves. Memory that it does not get
// does not end the budget.
func Solve(m *model.Model, b *budget.Budget) Result {
	r := Result{Bound: crude(m), Open: Unserved}
	cells := costtogo.Cells(m)
	if !plain(m) || !b.Fits(cells*8) {
		return r
	}
	held, _ := b.Held()
	c := scratches.Get().(*scratch)
	defer func() {
		now, _ := b.Held()
		b.Free(now - held)
		if c.buf.Bytes()+c.gl.Bytes()+c.gr.Bytes() <= mostKept {
			scratches.Put(c)
		}
	}()
	c.buf.Reset()
	if !b.Hold(cells*8) || !b.Spend(cells/32) {
		r.Open = Stopped
		return r
	}
	s := newSolver(m, b, c)
	t := resource.New(m)
	for done := false; !done; {
		r.Rounds++
		r.States = t.Count
		done = s.round(t, &r)
	}
	if !r.Proven {
		r.Plan = s.incumbent
	}
	if b.Ended() != budget.None {
		r.Open = Stopped
	}
	return r
}

// crude bounds the worth of any plan by its strips.
func crude(m *model.Model) unit.Worth {
	top, sum := unit.Worth{}, unit.Worth{}
	for i := range m.Wants {
		w := &m.Wants[i]
		if v := w.Worth(w.Hi, w.Full.N); v.Cmp(top) > 0 {
			top = v
		}
	}
	for range m.Blades {
		sum = sum.Add(top)
	}
	return sum
}

// solver is one problem with one set of states at a time.
type solver struct {
	m           *model.Model
	budget      *budget.Budget
	profile     *costtogo.Profile
	left, right *costtogo.Side
	between     *between
	gl, gr      *layered.Graph
	states      *resource.States
	bounds      []int64 // by fence stop, coarse
	incumbent   *model.Plan
}

func newSolver(m *model.Model, b *budget.Budget, c *scratch) *solver {
	s := &solver{m: m, budget: b, profile: costtogo.NewProfile(m, &c.buf), gl: &c.gl, gr: &c.gr}
	first, last := 0, len(m.Blades)-1
	for m.Blades[first].Moving {
		first++
	}
	for m.Blades[last].Moving {
		last--
	}
	side := func(left bool, moving int, a int64) *costtogo.Side {
		x := costtogo.NewSide(s.profile, left, moving)
		lo, hi := x.Entry(a-m.FenceHi), x.Entry(a-m.FenceLo)
		x.Limit(min(lo, hi), max(lo, hi))
		return x
	}
	s.left = side(true, first, m.Blades[first].Lo)
	s.right = side(false, len(m.Blades)-1-last, m.Blades[last].Lo)
	s.between = newBetween(s.profile, first, last)
	c.bounds = slices.Grow(c.bounds[:0], m.Fences())[:m.Fences()]
	s.bounds = c.bounds
	return s
}

// entries gives where the outermost fixed blades stand at a fence.
func (s *solver) entries(f int64) (l, r int) {
	m := s.m
	return s.left.Entry(m.Blades[s.between.first].Lo - f), s.right.Entry(m.Blades[s.between.last].Lo - f)
}

// stopped reports whether the budget has ended or the memory did not do.
func (s *solver) stopped() bool {
	return s.budget.Ended() != budget.None || s.gl.Full || s.gr.Full
}

// round solves with states; it is done where another round would not help.
func (s *solver) round(t *resource.States, r *Result) (done bool) {
	s.states, s.between.clear = t, nil
	r.Open = Unserved
	if !s.left.Build(t, s.budget) || !s.right.Build(t, s.budget) {
		return true
	}
	s.gl.Reset(s.left, s.budget)
	s.gr.Reset(s.right, s.budget)
	if s.stopped() {
		return true
	}
	first := s.bound()
	if v := s.profile.Worth(s.bounds[first]); v.Cmp(r.Bound) < 0 {
		r.Bound = v
	}
	roots, top, met := s.ties(first, r)
	if s.stopped() {
		return true
	}
	r.Bound = s.profile.Worth(met)
	plan := s.settle(roots)
	if s.stopped() {
		return true
	}
	if plan == nil {
		r.Open = Travels
		return true
	}
	sc, valid := s.m.Rate(plan)
	over := s.m.Overrun(plan)
	bare := sc
	bare.Travel = 0
	if bare != top || sc.Travel != plan.Score.Travel || s.profile.Up(sc.Worth) < met-s.profile.Slack || !valid && len(over) == 0 {
		r.Open = Unmet
		return true
	}
	if !valid {
		more := false
		for _, c := range over {
			more = t.Keep(c, mostStates) || more
		}
		r.Open = Caps
		return !more
	}
	plan.Score = sc
	r.Plan, r.Bound, r.Proven, r.Open = plan, sc.Worth, true, Closed
	return true
}
