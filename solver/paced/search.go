package paced

import (
	"container/heap"
	"unsafe"

	"github.com/ripwright/ripwright/solver/internal/search/budget"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/unit"
)

// part holds the plans whose longest move is lo to hi, both of which some axis can
// make.
type part struct {
	lo, hi unit.Length
	// worth is at least that of any plan that moves no further than hi; bound, at
	// least the net worth of any plan of the part.
	worth, bound unit.Worth
	// searched says that worth is from a search up to hi, whose plans are known.
	searched bool
}

// search is one branch and bound.
type search struct {
	p       *rip.Problem
	terms   Terms
	options rip.Options
	budget  *budget.Budget // of all searches together
	pool    pool
	parts   parts
	memory  int64 // the most held at the same time
	room    int   // parts that are counted in the budget
}

func (s *search) cost(move unit.Length) unit.Worth { return s.terms.Cost(s.p.Board.Length, move) }

// add queues a part unless nothing better can be in it.
func (s *search) add(a part) {
	if a.searched && s.cost(a.lo) == s.cost(a.hi) {
		return // of plans that cost the same, the search gave the best
	}
	a.bound = a.worth.Sub(s.cost(a.lo))
	if s.pool.beats(a.bound, a.worth) {
		return
	}
	if len(s.parts) == s.room { // it doubles, and the shorter one may still be in memory
		s.room = max(2*s.room, 16)
		s.budget.Hold(int64(s.room) * int64(unsafe.Sizeof(a)))
	}
	heap.Push(&s.parts, a)
}

// look searches a part, or splits it if it has been searched.
func (s *search) look(a part) error {
	if s.pool.beats(a.bound, a.worth) {
		return nil
	}
	if a.searched {
		mid := s.down((a.lo + a.hi) / 2)
		s.add(part{lo: a.lo, hi: mid, worth: a.worth})
		s.add(part{lo: s.up(mid + 1), hi: a.hi, worth: a.worth, searched: true})
		return nil
	}
	q := within(s.p, a.hi)
	if len(q.Saw.Faults()) > 0 {
		// The problem has no faults and this one only shorter travels, so any fault says
		// that the fence and blades cannot all stand so close: the part is empty.
		return nil
	}
	o := s.options
	if o.Work > 0 {
		if o.Work -= s.budget.Work(); o.Work <= 0 { // all is used, and 0 would mean no limit
			s.budget.End(rip.WorkLimit)
		}
	}
	if o.Memory = s.budget.Left(); o.Memory <= 0 {
		s.budget.End(rip.MemoryLimit)
	}
	if !s.budget.Look() {
		s.undone(a)
		return nil
	}
	if floor, ok := s.pool.least(); ok {
		o.Floor = floor.Add(s.cost(a.lo)) // what is worth less cannot enter the pool
	}
	r, err := rip.Solve(q, o)
	if err != nil {
		return err
	}
	s.take(r)
	if r.Bound.Cmp(a.worth) < 0 {
		a.worth = r.Bound
	}
	if s.ended() {
		a.bound = a.worth.Sub(s.cost(a.lo))
		s.undone(a)
		return nil
	}
	a.searched = true
	s.add(a)
	return nil
}

// undone keeps a part whose search a limit ended.
func (s *search) undone(a part) { heap.Push(&s.parts, a) }

func (s *search) ended() bool { return s.budget.Ended() != budget.None }

// take offers a search's plans.
func (s *search) take(r *rip.Result) {
	s.budget.Spend(r.Work)
	s.budget.End(r.EndedBy)
	held, _ := s.budget.Held()
	s.memory = max(s.memory, held+r.Memory)
	for _, plan := range append([]*rip.Plan{r.Best}, r.RunnersUp...) {
		s.pool.offer(&entry{plan: plan, net: s.terms.Net(s.p, plan), kind: kindOf(plan)})
	}
}

func (s *search) result() *rip.Result {
	r := &rip.Result{Best: s.pool.all[0].plan, Bound: s.pool.all[0].net, Proven: !s.ended(), EndedBy: s.budget.Ended(), Work: s.budget.Work(), Memory: s.memory}
	for _, e := range s.pool.all[1:] {
		r.RunnersUp = append(r.RunnersUp, e.plan)
	}
	for _, a := range s.parts {
		if a.bound.Cmp(r.Bound) > 0 {
			r.Bound = a.bound
		}
	}
	return r
}

// parts is a heap, greatest bound first.
type parts []part

func (q parts) Len() int { return len(q) }
func (q parts) Less(i, j int) bool {
	if c := q[i].bound.Cmp(q[j].bound); c != 0 {
		return c > 0
	}
	return q[i].hi < q[j].hi
}
func (q parts) Swap(i, j int) { q[i], q[j] = q[j], q[i] }
func (q *parts) Push(x any)   { *q = append(*q, x.(part)) }
func (q *parts) Pop() any {
	last := (*q)[len(*q)-1]
	*q = (*q)[:len(*q)-1]
	return last
}
