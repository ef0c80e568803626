// Package fences finds the best plan for a saw with a fixed blade.
//
// For every fence stop the tables of both sides (costtogo) and the pockets between fixed
// blades bound the worth of a plan; a path through the tables meets the greatest of these
// bounds, except for rounding. The fences whose bound lies within rounding of the
// greatest are scored exactly (layered), and those of the best score are kept. Intervals
// of them are halved by the least travel that their paths can have, until one fence and
// one path are left.
//
// Travels and caps are left out at first. A plan that keeps them is the best with them,
// since they only exclude plans. Caps that it breaks get states (resource), finer ones if
// it breaks them again, and everything is repeated; if states do not keep a cap, labels
// with exact amounts do, with the tables as bounds (layered.Labels). If a travel keeps
// every best path from being set, or that of the first fence where many tie, the fences are
// halved, best bound first, with tables that exclude heights which a blade can reach at no
// fence of a piece (limited); over one fence such tables are exact.
//
// What is reported as proven has been scored anew by model.Rate, which shares nothing
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

// mostStates limits the states of caps, each of which has its own table; what they cannot
// keep is left to exact amounts. What those cannot keep either gets up to moreStates, if
// there is the memory: that proved 5 of 69 boards that were open after 2 s.
const (
	mostStates = 96
	moreStates = 512
)

// Result of Solve.
type Result struct {
	Plan   *model.Plan // the best that was found; nil: none was
	Bound  unit.Worth  // at least the worth of every valid plan
	Proven bool        // Plan is the optimum and the first of its ties
	Open   Reason      // why it is not proven
	States int         // of caps, in the last round
	Rounds int
	Exact  bool // whether caps were kept by exact amounts, since states were not enough
	Fences int  // that were scored exactly, in the last round
}

// Reason says why nothing is proven.
type Reason int

// The reasons.
const (
	Closed   Reason = iota // it is proven
	Stopped                // by the budget
	Travels                // travels keep all of the best plans from being set
	Caps                   // states do not keep a cap that every best plan breaks
	Unserved               // the memory is not enough
	Unmet                  // a score that does not meet its bound: an error of this search
)

// scratch is memory that is reused from search to search.
type scratch struct {
	buf    costtogo.Buffer
	gl, gr layered.Graph
	gm     []*layered.Graph // of spans
	bounds []int64
	roots  []root
	loose  []int // fence stops
}

var scratches = sync.Pool{New: func() any { return new(scratch) }}

// bytes is the size of the scratch.
func (c *scratch) bytes() int {
	n := c.buf.Bytes() + c.gl.Bytes() + c.gr.Bytes() + rootBytes*cap(c.roots) + 8*cap(c.loose)
	for _, g := range c.gm {
		n += g.Bytes()
	}
	return n
}

// mostKept is the most bytes of a scratch that is kept: one hard board must not tie up
// memory for good.
const mostKept = 1 << 23

// Solve finds the best plan of a problem that it Serves. A lack of memory does not end
// the budget.
func Solve(m *model.Model, b *budget.Budget) Result { return Told(m, b, nil) }

// Told is Solve that reports each plan which it keeps before anything is proven: the
// plan's worth, and a bound on the fences at hand.
func Told(m *model.Model, b *budget.Budget, tell func(worth, bound unit.Worth)) Result {
	return solve(m, b, mostStates, tell)
}

// solve is Told with a limit on the states of caps.
func solve(m *model.Model, b *budget.Budget, states int, tell func(worth, bound unit.Worth)) Result {
	r := Result{Bound: crude(m), Open: Unserved}
	cells := costtogo.Cells(m) + costtogo.SpanCells(m)
	if !b.Fits(cells * 8) {
		return r
	}
	held, _ := b.Held()
	c := scratches.Get().(*scratch)
	defer func() {
		now, _ := b.Held()
		b.Free(now - held)
		if c.bytes() <= mostKept {
			scratches.Put(c)
		}
	}()
	c.buf.Reset()
	if !b.Hold(cells*8+int64(m.Fences())*2*8) || !b.Spend(1) {
		r.Open = Stopped
		return r
	}
	s := newSolver(m, b, c)
	s.tell, s.mostStates = tell, states
	if b.Ended() != budget.None {
		r.Open = Stopped
		return r
	}
	if s.profile.Short {
		return r
	}
	whole := piece{from: 0, to: m.Fences() - 1, bound: r.Bound}
	p, open := s.close(&whole, false, &r)
	r.Plan, r.Bound, r.Open = p, whole.bound, open
	if open == Travels {
		s.limited(&r)
	}
	if b.Ended() != budget.None {
		r.Open = Stopped
	}
	if r.Proven = r.Open == Closed; !r.Proven {
		r.Plan = s.incumbent
	}
	return r
}

// crude bounds the worth of any plan by its strips.
func crude(m *model.Model) unit.Worth {
	top, sum := unit.Worth{}, unit.Worth{}
	for i := range m.Wants {
		w := &m.Wants[i]
		if v := w.Worth(w.Hi, w.AtMost(w.Full.N)); v.Cmp(top) > 0 {
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
	near, far   int // entries of the outermost fixed blades at the first stop, see entries
	between     *between
	gl, gr      *layered.Graph
	states      *resource.States
	held        int64 // bytes, without tables and graphs
	full        bool  // the memory was not enough
	scratch     *scratch
	from, to    int     // fence stops at hand
	bounds      []int64 // by fence stop, coarse
	incumbent   *model.Plan
	mostStates  int
	tell        func(worth, bound unit.Worth) // may be nil
}

func newSolver(m *model.Model, b *budget.Budget, c *scratch) *solver {
	s := &solver{m: m, budget: b, profile: costtogo.NewProfile(m, &c.buf, b), gl: &c.gl, gr: &c.gr, states: resource.New(m), scratch: c}
	first, last := 0, len(m.Blades)-1
	for last >= 0 && m.Blades[last].Moving {
		last--
	}
	for last >= 0 && m.Blades[first].Moving {
		first++
	}
	s.left = costtogo.NewSide(s.profile, true, first)
	s.right = costtogo.NewSide(s.profile, false, len(m.Blades)-1-last)
	s.between = newBetween(s.profile, first, last, &c.gm)
	s.whole(s.left, s.right)
	s.stand()
	s.profile.Keep()
	s.held, _ = b.Held()
	c.bounds = slices.Grow(c.bounds[:0], m.Fences())[:m.Fences()]
	s.bounds = c.bounds
	return s
}

// whole says what is asked of the sides: if only one can have strips, and nothing lies
// between, it may use all that the caps leave.
func (s *solver) whole(left, right *costtogo.Side) {
	if len(s.between.parts) == 0 {
		right.Whole, left.Whole = left.Empty(), right.Empty()
	}
}

// stand computes where the outermost fixed blades stand at the first stop of the fence.
func (s *solver) stand() {
	m := s.m
	if s.between.last >= 0 {
		s.near, s.far = s.left.Entry(m.Blades[s.between.first].Lo-m.FenceLo), s.right.Entry(m.Blades[s.between.last].Lo-m.FenceLo)
	}
}

// entries gives where the outermost fixed blades stand at a stop of the fence. If all
// blades move, they stand beyond one that cuts nothing, before the board.
func (s *solver) entries(t int) (l, r int) {
	if s.between.last < 0 {
		return s.profile.N, -(s.right.Moving + 1) * s.profile.Spread
	}
	return s.near + t, s.far - t
}

// stopped reports whether the budget has ended or the memory was not enough.
func (s *solver) stopped() bool {
	return s.full || s.budget.Ended() != budget.None || s.gl.Full || s.gr.Full || s.between.full()
}

// hold counts bytes about to be allocated, until the next round. If they do not fit,
// another search may need less.
func (s *solver) hold(n int) bool {
	s.full = s.full || !s.budget.Fits(int64(n)) || !s.budget.Hold(int64(n))
	return !s.full
}
