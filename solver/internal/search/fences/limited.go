package fences

import (
	"cmp"
	"container/heap"

	"github.com/ripwright/ripwright/solver/internal/search/costtogo"
)

// parts is how many parts a piece is divided into.
const parts = 4

// limited divides the fences, best bound first, until no remaining piece can hold a plan
// that comes before the incumbent. A piece is bounded twice: by tables in which the board
// lies anywhere within it (shifted), and by tables of the board itself with travels that
// are longer by the piece.
func (s *solver) limited(r *Result) {
	q := pieces{}
	last := s.m.Fences() - 1
	// With a straight edge, the first strip differs at every stop of the fence.
	faced := s.m.Board.StraightNear
	if from, to, best := s.still(); !faced && from < to && s.m.Plain() {
		s.divide(&q, piece{from: 0, to: from - 1, bound: r.Bound})
		s.divide(&q, piece{from: best, to: best, bound: r.Bound})
		s.divide(&q, piece{from: to + 1, to: last, bound: r.Bound})
	} else {
		s.divide(&q, piece{from: 0, to: last, bound: r.Bound})
	}
	r.Open = Closed
	for len(q) > 0 {
		if s.stopped() {
			r.Open = Unserved
			return
		}
		p := heap.Pop(&q).(piece)
		s.held -= pieceBytes
		s.budget.Free(pieceBytes)
		if s.incumbent != nil && p.bound.Cmp(s.incumbent.Score.Worth) < 0 {
			break
		}
		r.Bound = p.bound
		if !p.shifted && !faced && len(s.between.spans) == 0 && p.from < p.to {
			can, open := s.shifted(&p)
			if open != Closed {
				r.Open = open
				return
			}
			if can {
				s.push(&q, p)
			}
			continue
		}
		plan, open := s.close(&p, true, r)
		switch {
		case open == Closed && plan != nil:
			s.offer(plan)
		case open == Closed:
		case open == Travels && p.from < p.to:
			s.divide(&q, p)
		default:
			if r.Open = open; open == Travels { // tables over one fence are exact
				r.Open = Unmet
			}
			return
		}
	}
	if s.full {
		r.Open = Unserved
		return
	}
	if r.Plan = s.incumbent; r.Plan == nil {
		r.Open = Unmet
		return
	}
	r.Bound = r.Plan.Score.Worth
}

// pieceBytes is the memory of a piece in the queue, with its share of what holds it.
const pieceBytes = 128

// push puts a piece in the queue if there is the memory.
func (s *solver) push(q *pieces, p piece) {
	if s.hold(pieceBytes) {
		s.held += pieceBytes
		at := int((s.m.Fence0 - s.m.FenceLo) / s.m.Step)
		p.away = max(p.from-at, at-p.to, 0)
		heap.Push(q, p)
	}
}

// divide puts the parts of a piece in the queue. Each is bounded by its own fences, as
// the tables of the whole have them, and reduced to those that may matter.
func (s *solver) divide(q *pieces, p piece) {
	least := int64(0)
	if s.incumbent != nil {
		least = max(s.profile.Down(s.incumbent.Score.Worth)-s.profile.Slack, 0)
	}
	n := p.to - p.from + 1
	for i := range parts {
		c := piece{from: -1}
		most := int64(-1)
		s.profile.Over(n / parts)
		for t := p.from + i*n/parts; t < p.from+(i+1)*n/parts; t++ {
			if s.bounds[t] >= least {
				if c.from < 0 {
					c.from = t
				}
				c.to, most = t, max(most, s.bounds[t])
			}
		}
		if c.from >= 0 {
			c.bound, c.shifted, c.dull = p.bound, p.dull, p.dull
			c.most(s.profile.Worth(most))
			s.push(q, c)
		}
	}
}

// still gives the fences at which no blade can reach an edge of the clear wood, the first
// and the last: all of them allow the same settings, and best is the one that comes
// first. If there are none, from is above to.
func (s *solver) still() (from, to, best int) {
	m := s.m
	near, far := m.Blades[0].Lo+m.Kerf, m.Blades[len(m.Blades)-1].Hi
	stop := func(f int64) int { return int((f - m.FenceLo) / m.Step) }
	from = max(stop(m.StopUp(max(far-m.FullHi, far-m.WoodHi+1))), 0)
	to = min(stop(m.StopDown(min(near-m.FullLo, near-m.WoodLo-1))), m.Fences()-1)
	away := m.Fence0 - m.FenceLo
	best = int(away / m.Step)
	if away%m.Step*2 > m.Step {
		best++
	}
	return from, to, max(min(best, to), from)
}

// shifted bounds a piece as though the board could lie anywhere within it while the
// blades are set, and reports whether they can be set at all. It is Unserved if there is
// no memory or the search has ended.
func (s *solver) shifted(p *piece) (can bool, open Reason) {
	s.free()
	f := s.m.Fence(p.from)
	w := s.profile.Widened(p.to-p.from, s.states.Count > 1)
	if w == nil || s.stopped() {
		return false, Unserved
	}
	left := costtogo.NewSide(w, true, s.left.Moving)
	right := costtogo.NewSide(w, false, s.right.Moving)
	s.whole(left, right)
	for _, x := range []*costtogo.Side{left, right} {
		x.Within(f, f, true)
		if !x.Build(s.states) {
			return false, Unserved
		}
	}
	l, r := s.left, s.right
	s.left, s.right = left, right
	s.stand()
	most := s.sides(p.from, s.states.Count-1)
	s.left, s.right = l, r
	s.stand()
	most += newBetween(w, s.between.first, s.between.last, nil).pockets(p.from)
	before := p.bound
	p.most(s.profile.Worth(max(most, 0)))
	p.shifted, p.dull = true, p.bound == before
	return most >= 0, Closed
}

// pieces is a heap: the greatest bound first, then the fewest fences, to find a plan
// before all that has the same bound is divided, then the nearest to the present fence,
// since that plan's travel ends most of the rest.
type pieces []piece

func (q pieces) Len() int { return len(q) }
func (q pieces) Less(i, j int) bool {
	if c := q[i].bound.Cmp(q[j].bound); c != 0 {
		return c > 0
	}
	a, b := &q[i], &q[j]
	return cmp.Or(cmp.Compare(a.to-a.from, b.to-b.from), cmp.Compare(a.away, b.away), cmp.Compare(a.from, b.from)) < 0
}
func (q pieces) Swap(i, j int) { q[i], q[j] = q[j], q[i] }
func (q *pieces) Push(x any)   { *q = append(*q, x.(piece)) }
func (q *pieces) Pop() any {
	p := (*q)[len(*q)-1]
	*q = (*q)[:len(*q)-1]
	return p
}
