package rip

import (
	"slices"

	"github.com/ripwright/ripwright/solver/internal/search/budget"
	"github.com/ripwright/ripwright/solver/internal/search/incumbent"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// starters are the start heuristics of a search. Most boards on a line are solved before
// they run: they are called from within the search after a number of steps, for a plan
// first and later for a better one. They have their own working memory.
type starters struct {
	base        *instance
	in          instance // base with scratch of its own
	skew        int64
	budget      *budget.Budget
	first, then int64 // steps
	begun, done bool
	h           *incumbent.Heuristic
	size        int64 // bytes lent
	plans       []*found
	bound       worth // that a search by tables leaves; 0: none does
}

func (in *instance) starters(skew int64, b *budget.Budget) *starters {
	t := &starters{base: in, skew: skew, budget: b, first: 10_000, then: 20_000}
	if !slices.ContainsFunc(in.blades, func(b blade) bool { return !b.moving }) {
		t.first, t.then = 15_000, 45_000 // what serves such saws seldom ends sooner
	}
	moving := slices.ContainsFunc(in.blades, func(b blade) bool { return b.moving })
	if moving && (in.outerHi-in.outerLo)/in.step*int64(len(in.wants)) > large {
		t.first, t.then = 0, 10_000
	}
	return t
}

// large is the product of stops and items above which the first tables alone take longer
// than start heuristics.
const large = 100_000

// set schedules the heuristics.
func (t *starters) set() {
	if t.first == 0 {
		t.begin()
	} else {
		t.budget.At(t.budget.Work()+t.first, t.begin)
	}
}

// end cancels what is scheduled, and gives back the memory.
func (t *starters) end() {
	t.budget.At(0, nil)
	t.budget.Lend(-t.size)
	t.h, t.size = nil, 0
}

// beside schedules the heuristics beside a search by tables; told cancels most of what is
// not needed, since tables mostly have their first plan before, whatever the number of
// heights. If a limit ends the search sooner, late finds a plan.
func (t *starters) beside() { t.first, t.then = 12_000, 40_000 }

// told cancels the heuristics if a search by tables has a plan that can hardly be
// improved. Mostly it has: if no cap or travel matters, its first plan is the best.
func (t *starters) told(worth, bound worth) {
	if t.base.close(worth, bound) {
		t.budget.At(0, nil)
	}
}

// close reports whether a plan can hardly be improved.
func (in *instance) close(worth, bound worth) bool {
	shift := in.coarse()
	most := cutShort(bound, shift)
	return cutShort(worth, shift) > most-most/16
}

// late runs what is still scheduled, for a few tenths of a millisecond, if a limit has
// ended the search and the best plan at hand can be improved.
func (t *starters) late(worth, bound worth) {
	switch {
	case t.base.close(worth, bound) || t.done:
	case t.begun && t.h != nil:
		t.h.Late()
	case !t.begun:
		t.all()
	}
}

// begin looks for plans and is called again later for better ones.
func (t *starters) begin() {
	t.begun = true
	if t.ready() {
		t.h.Start()
		t.budget.At(t.budget.Work()+(t.then-t.first)/4, t.tables)
	}
}

func (t *starters) tables() {
	t.h.Tables()
	t.budget.At(t.budget.Work()+(t.then-t.first)*3/4, t.improve)
}

func (t *starters) improve() {
	t.done = true
	t.h.Improve()
}

// best gives the plan that comes first, or nil.
func (t *starters) best() (first *found) {
	for _, f := range t.plans {
		if first == nil || f.cmp(first) < 0 {
			first = f
		}
	}
	return first
}

// ready prepares the heuristics, if there is memory for them.
func (t *starters) ready() bool {
	t.in = *t.base
	t.in.clear, t.in.bare = wood.NewClear(&t.in.p.Board, t.in.p.Saw.Trim), nil
	p := t.in.outlined()
	size := p.Bytes()
	if !t.budget.Lend(size) {
		return false
	}
	t.size = size
	t.h = incumbent.New(p, incumbent.Options{Spend: t.budget.Remains, Offer: func(plan *incumbent.Plan) {
		to := path{plan.Blades, make([]int16, len(plan.Items))}
		for i, k := range plan.Items {
			to.wants[i] = int16(k)
		}
		t.know(plan.Fence, &to)
	}})
	t.idle()
	return true
}

// idle offers plans without a strip if edgings are fed again: all blades as far out as
// possible.
func (t *starters) idle() {
	if t.in.reripWidth == 0 {
		return
	}
	low, high := t.in.idle(0).path, t.in.idle(0).path
	for j := range high.blades {
		high.blades[j] = t.in.blades[j].hi
	}
	for i := range int64(9) {
		f := t.in.fenceLo + t.in.stopDown((t.in.fenceHi-t.in.fenceLo)*i/8)
		t.know(f, &low)
		t.know(f, &high)
	}
}

// know keeps a plan, if it is valid.
func (t *starters) know(fence int64, to *path) {
	sc, ok := t.in.rate(fence, to)
	if !ok {
		return
	}
	t.plans = append(t.plans, &found{in: t.base, skew: t.skew, score: sc, fence: fence, path: *to.clone()})
}

// tell puts the plans found into the pool of a search. They wait until the search reaches
// a point at which its pool may change.
func (t *starters) tell(s *search) {
	for _, f := range t.plans {
		k := kind{}
		for _, w := range f.path.wants {
			if w != noWant {
				k = s.marked(k, &s.in.wants[w])
			}
		}
		s.pool.offer(f.score, f.fence, &f.path, k)
	}
	t.plans = t.plans[:0]
}

// start looks for plans if a limit has ended the search without one.
func (s *search) start() {
	t := s.in.starters(s.pool.skew, s.budget)
	t.all()
	t.tell(s)
}

// all looks for plans at once.
func (t *starters) all() {
	t.begun = true
	if t.ready() {
		t.h.Start()
		t.h.Tables()
		t.improve()
	}
	t.end()
}

// nothing reports whether no plan is worth something.
func (p *pool) nothing() bool { return len(p.plans) == 0 || p.plans[0].score.Worth.IsZero() }

// askew looks for plans at the widest angles if a limit has ended the search at the first
// ones, which give none.
func (p *pool) askew(r *ready, angles []unit.Length, b *budget.Budget) {
	n := len(angles) - 1
	for i := range min(2, n) {
		skew := angles[n-i] // the widest either way
		s := newSearch(r.at(skew), p.size-1, b)
		s.pool = *p
		s.pool.skew, s.pool.in = int64(skew), s.in
		s.start()
		*p = s.pool
		s.release()
		if !p.nothing() {
			return
		}
	}
}
