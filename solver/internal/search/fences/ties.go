package fences

import (
	"container/heap"
	"math"
	"slices"
	"unsafe"

	"github.com/ripwright/ripwright/solver/internal/search/model"
)

// root is a fence stop with a use of the pockets between fixed blades and what each side
// may use of the caps: its best paths are those of the two graphs. If all blades move,
// they are the same at every stop, and it stands for n stops.
type root struct {
	t, n        int32
	left, right int16 // states
	use         *use
}

const rootBytes = int(unsafe.Sizeof(root{}))

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

// ties gives the roots of the best score by rising fence, that score, and the greatest
// bound. If the first fence's plan breaks a cap that states can keep, it gives no more:
// its ties are not worth finding.
func (s *solver) ties(first int, r *Result) (roots []root, top model.Score, met int64, again bool) {
	r.Fences = 0
	roots = s.scratch.roots[:0]
	defer func() { s.scratch.roots = roots[:0] }()
	if s.incumbent != nil { // nothing that is worth less matters
		met = s.profile.Down(s.incumbent.Score.Worth)
	}
	look := func(t int) {
		f := s.m.Fence(t)
		l, e := s.entries(t)
		r.Fences++
		s.bounds[t] = 0
		uses, all := s.between.uses(t, s.states)
		kept := false
		if all && s.between.clear == nil {
			s.between.clear = s.kept(uses)
		}
		if all {
			uses, kept = s.between.clear, true
		}
		standing := model.Score{Blades: s.between.standing(f)}
		s.budget.Spend(int64(len(uses)) + 1)
		for k := range uses {
			s.split(uses[k].state, func(a, b int) {
				if s.profile.Over(16) || s.full {
					return
				}
				u := &uses[k]
				v := max(u.up+s.left.At(s.left.Moving, a, l)+s.right.At(s.right.Moving, b, e), never)
				s.bounds[t] = max(s.bounds[t], v)
				if v < met-s.profile.Slack {
					return
				}
				met = max(met, v)
				sc := standing.Plus(u.score).Plus(s.gl.Top(a, l)).Plus(s.gr.Top(b, e))
				c := 1
				if len(roots) > 0 {
					c = sc.Cmp(&top)
				}
				if c > 0 {
					top, roots = sc, roots[:0]
				}
				if c >= 0 && !kept {
					uses, kept = s.kept(uses), true
				}
				if c >= 0 && s.hold(2*rootBytes) {
					roots = append(roots, root{int32(t), 1, int16(a), int16(b), &uses[k]})
				}
			})
		}
	}
	look(first)
	if s.keep(s.trace(roots, met)) {
		return roots[:0], top, met, true
	}
	if s.between.last < 0 {
		for k := range roots {
			roots[k].t, roots[k].n = int32(s.from), int32(s.to-s.from+1)
		}
		return roots, top, met, false
	}
	lost := 0
	for t := s.from; t <= s.to; t++ {
		s.profile.Over(1)
		if t != first && s.bounds[t] >= met-s.profile.Slack {
			if lost < fewLost || !s.lost(t, met) {
				look(t)
				if s.bounds[t] < met-s.profile.Slack {
					lost++
				}
			}
			if s.stopped() {
				break
			}
		}
	}
	// Those of the first fence searched come before all others.
	head := 0
	for head < len(roots) && int(roots[head].t) == first {
		head++
	}
	next := head
	for next < len(roots) && int(roots[next].t) < first {
		next++
	}
	own := slices.Clone(roots[:head])
	copy(roots, roots[head:next])
	copy(roots[next-head:], own)
	return roots, top, met, false
}

// kept gives uses that stay, if there is the memory: those kept last, if they are equal,
// as they mostly are at the next stop.
func (s *solver) kept(l []use) []use {
	b := s.between
	s.profile.Over(16 * len(l))
	if slices.EqualFunc(l, b.known, func(a, b use) bool { return a.same(&b) }) {
		return b.known
	}
	if s.hold(len(l) * b.useBytes()) {
		b.known = own(l)
		return b.known
	}
	return l
}

// fewLost is how many fences are computed in vain before others are bounded by rows.
const fewLost = 2

// lost reports whether a fence at which a span is bounded loosely is worth less than met
// by the bounds of rows.
func (s *solver) lost(t int, met int64) bool {
	if _, sharp := s.between.inSpans(t); sharp {
		return false
	}
	s.bounds[t] = min(s.bounds[t], max(s.sides(t, s.states.Count-1)+s.between.inRow(t), never))
	return s.bounds[t] < met-s.profile.Slack
}
