package rip

// interval of fence positions with a bound on every plan in it.
type interval struct {
	f      fences
	bound  score
	swept  bool
	trails [][]int64  // see search.trails; nil: not known
	open   []openKind // nil: not known
}

// queue is a heap, best bound first; among equals the narrower interval, then
// the lesser fence.
type queue []*interval

func (q queue) Len() int { return len(q) }
func (q queue) Less(i, j int) bool {
	if c := q[i].bound.cmp(&q[j].bound); c != 0 {
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
