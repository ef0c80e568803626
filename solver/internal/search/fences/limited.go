package fences

import "container/heap"

// parts is how many parts a piece is split in.
const parts = 4

// limited splits the fences, best bound first, until no piece that is left can hold a
// plan that comes before the incumbent.
func (s *solver) limited(r *Result) {
	q := pieces{}
	split := func(p piece) {
		least := int64(0)
		if s.incumbent != nil {
			least = s.profile.Down(s.incumbent.Score.Worth) - s.profile.Slack
		}
		n := p.to - p.from + 1
		for i := range parts {
			// Each part is bounded by its own fences, as the tables of the whole have them,
			// and left with those that may matter.
			c := piece{from: -1}
			most := int64(-1)
			for t := p.from + i*n/parts; t < p.from+(i+1)*n/parts; t++ {
				if s.bounds[t] >= max(least, 0) {
					if c.from < 0 {
						c.from = t
					}
					c.to, most = t, max(most, s.bounds[t])
				}
			}
			if c.from >= 0 {
				c.bound = s.profile.Worth(most)
				heap.Push(&q, c)
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
