package fences

import (
	"container/heap"
	"math"
)

// bound computes the bound of every fence stop at hand and gives one with the greatest.
func (s *solver) bound() (first int) {
	full := s.states.Count - 1
	first = s.from
	if s.between.last < 0 {
		v := s.sides(0, full)
		for t := s.from; t <= s.to; t++ {
			s.bounds[t] = v
		}
		// Near the present fence the first plan has little travel.
		return min(max(int((s.m.Fence0-s.m.FenceLo)/s.m.Step), s.from), s.to)
	}
	best := never
	loose := looseFences{t: s.scratch.loose[:0], bounds: s.bounds}
	defer func() { s.scratch.loose = loose.t[:0] }()
	if len(s.between.spans) > 0 && !s.hold(2*8*(s.to-s.from+1)) {
		return first
	}
	for from := s.from; from <= s.to; from += rowStops {
		to := min(from+rowStops-1, s.to)
		if s.profile.Over((to - from + 1) * (16*len(s.between.parts) + 8*full + 16)) {
			return first
		}
		row := s.bounds[from : to+1]
		s.sidesAlong(row, from, full)
		s.between.pocketsAlong(row, from)
		if len(s.between.spans) == 0 {
			if k := greatest(row); row[k] > best {
				first, best = from+k, row[k]
			}
			continue
		}
		for t := from; t <= to; t++ {
			v, sharp := s.between.inSpans(t)
			s.bounds[t] = max(s.bounds[t]+v, never)
			if !sharp {
				loose.t = append(loose.t, t)
			} else if s.bounds[t] > best {
				first, best = t, s.bounds[t]
			}
		}
	}
	// Fences at which a span is bounded loosely are computed while they may be best. Once
	// these are more than a few, those of a whole row are first bounded at once.
	heap.Init(&loose)
	tight := map[int]bool{}
	for worked := 0; len(loose.t) > 0 && s.bounds[loose.t[0]] > max(best, -1); {
		t := heap.Pop(&loose).(int)
		s.profile.Over(256)
		if worked >= fewStops && !tight[t] {
			v := max(s.sides(t, full)+s.between.inRow(t), never)
			if s.stopped() || !s.hold(tightBytes) {
				break
			}
			if v < s.bounds[t] {
				s.bounds[t], tight[t] = v, true
				heap.Push(&loose, t)
				continue
			}
		}
		worked++
		s.bounds[t] = max(s.sides(t, full)+s.between.sharper(t), never)
		if s.stopped() {
			break
		}
		if s.bounds[t] > best {
			first, best = t, s.bounds[t]
		}
	}
	return first
}

// greatest gives the first of the greatest numbers, which are raised to never.
func greatest(row []int64) (k int) {
	for i, v := range row {
		if row[i] = max(v, never); row[i] > row[k] {
			k = i
		}
	}
	return k
}

// fewStops is how many stops are computed before rows are bounded, tightBytes the memory
// for one that was bounded so.
const (
	fewStops   = 8
	tightBytes = 64
)

// looseFences is a heap of fence stops: the greatest bound first, then the first stop.
type looseFences struct {
	t      []int
	bounds []int64
}

func (h *looseFences) Len() int { return len(h.t) }
func (h *looseFences) Less(i, j int) bool {
	if a, b := h.bounds[h.t[i]], h.bounds[h.t[j]]; a != b {
		return a > b
	}
	return h.t[i] < h.t[j]
}
func (h *looseFences) Swap(i, j int) { h.t[i], h.t[j] = h.t[j], h.t[i] }
func (h *looseFences) Push(x any)    { h.t = append(h.t, x.(int)) }
func (h *looseFences) Pop() any {
	t := h.t[len(h.t)-1]
	h.t = h.t[:len(h.t)-1]
	return t
}

// sides is the most that the two sides bring at a stop of the fence with a state to share.
func (s *solver) sides(t, state int) (most int64) {
	l, r := s.entries(t)
	if s.states.Count == 1 {
		return s.left.At(s.left.Moving, 0, l) + s.right.At(s.right.Moving, 0, r)
	}
	most = math.MinInt64
	s.split(state, func(a, b int) {
		most = max(most, s.left.At(s.left.Moving, a, l)+s.right.At(s.right.Moving, b, r))
	})
	return most
}

// sidesAlong is sides at each stop of the fence from one on.
func (s *solver) sidesAlong(row []int64, from, state int) {
	if s.states.Count > 1 {
		for i := range row {
			row[i] = s.sides(from+i, state)
		}
		return
	}
	clear(row)
	l, r := s.entries(from)
	s.left.Along(row, 0, l, 1)
	s.right.Along(row, 0, r, -1)
}

// split calls f with every way to share a state between the sides.
func (s *solver) split(state int, f func(a, b int)) {
	switch {
	case s.left.Empty():
		f(0, state)
	case s.right.Moving == 0:
		f(state, 0)
	default:
		s.states.Splits(state, f)
	}
}
