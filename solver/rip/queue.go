package rip

import "slices"

// interval is an interval of fence positions with a bound on every plan in it.
type interval struct {
	f     fences
	bound score
	swept bool
	left  *leavings // of the sweep over it or one that contains it; nil: none
}

// leavings are what the sweep over an interval leaves for those inside.
type leavings struct {
	trails [][]int64  // see search.trails; nil: not known
	open   []openKind // nil: not known
	bytes  int64
	users  int // intervals
}

func (l *leavings) trailed() [][]int64 {
	if l == nil {
		return nil
	}
	return l.trails
}

func (l *leavings) kinds() []openKind {
	if l == nil {
		return nil
	}
	return l.open
}

// shared gives the leavings for one more interval.
func (l *leavings) shared() *leavings {
	if l != nil {
		l.users++
	}
	return l
}

// unshare gives back leavings that no interval needs any more.
func (s *search) unshare(l *leavings) {
	if l == nil {
		return
	}
	if l.users--; l.users == 0 {
		s.budget.Free(l.bytes)
	}
}

// leaves makes an interval keep the leavings of the last sweep.
func (s *search) leaves(e *interval) {
	s.unshare(e.left)
	const each = 128 // of a kind with its items, approximately
	l := &leavings{bytes: int64(len(s.left)*each + 256), users: 1}
	if !s.anchored {
		l.bytes += 2 * 8 * int64(s.labels.n) // as they grow
	}
	hold(s.budget, l.bytes)
	s.tick(int64(s.labels.n/16 + len(s.left)/16 + 1))
	l.trails, l.open = s.trail(), slices.Clone(s.left)
	e.left = l
}

// newInterval gives an interval to be filled in.
func (s *search) newInterval() *interval {
	if n := len(s.freed); n > 0 {
		e := s.freed[n-1]
		s.freed = s.freed[:n-1]
		return e
	}
	return &s.intervals.take(1)[0]
}

// drop releases an interval that is done.
func (s *search) drop(e *interval) {
	s.unshare(e.left)
	e.left = nil
	s.freed = append(s.freed, e)
}

// queue is a heap, best bound first; among equals the narrower interval, then
// the lesser fence.
type queue []*interval

func (q queue) Len() int { return len(q) }
func (q queue) Less(i, j int) bool {
	if c := q[i].bound.Cmp(&q[j].bound); c != 0 {
		return c > 0
	}
	if a, b := q[i].f.hi-q[i].f.lo, q[j].f.hi-q[j].f.lo; a != b {
		return a < b
	}
	return q[i].f.lo < q[j].f.lo
}
func (q queue) Swap(i, j int) { q[i], q[j] = q[j], q[i] }
func (q *queue) Push(x any)   { *q = append(*q, x.(*interval)) }
func (q *queue) Pop() any {
	old := *q
	e := old[len(old)-1]
	*q = old[:len(old)-1]
	return e
}
