package fences

import "container/heap"

// limited halves the fences, best bound first, until no piece that is left can hold a
// plan that comes before the incumbent.
func (s *solver) limited(r *Result) {
	const parts = 4
	q := pieces{}
	split := func(p piece) {
		n := p.to - p.from + 1
		for i := range parts {
			a, b := p.from+i*n/parts, p.from+(i+1)*n/parts-1
			if a <= b {
				heap.Push(&q, piece{a, b, p.bound})
			}
		}
	}
	split(piece{0, s.m.Fences() - 1, r.Bound})
	r.Open = Closed
	for len(q) > 0 {
		p := heap.Pop(&q).(piece)
		if s.incumbent != nil && p.bound.Cmp(s.incumbent.Score.Worth) < 0 {
			break
		}
		r.Bound = p.bound
		plan, open := s.close(&p, true, r)
		switch {
		case open == Closed && plan != nil:
			s.offer(plan)
		case open == Closed:
		case open == Travels && p.from < p.to:
			split(p)
		default:
			if r.Open = open; open == Travels { // tables over one fence are exact
				r.Open = Unmet
			}
			return
		}
	}
	if r.Plan = s.incumbent; r.Plan == nil {
		r.Open = Unmet
		return
	}
	r.Bound = r.Plan.Score.Worth
}

// pieces is a heap: the greatest bound first, then the least fence.
type pieces []piece

func (q pieces) Len() int { return len(q) }
func (q pieces) Less(i, j int) bool {
	if c := q[i].bound.Cmp(q[j].bound); c != 0 {
		return c > 0
	}
	return q[i].from < q[j].from
}
func (q pieces) Swap(i, j int) { q[i], q[j] = q[j], q[i] }
func (q *pieces) Push(x any)   { *q = append(*q, x.(piece)) }
func (q *pieces) Pop() any {
	p := (*q)[len(*q)-1]
	*q = (*q)[:len(*q)-1]
	return p
}
