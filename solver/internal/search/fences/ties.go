package fences

import (
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

// ties gives the roots of the best score by rising fence, that score, and the greatest
// bound. They are not worth finding, and the reason is given, if the first fence's plan
// breaks a cap that states can keep, or if travels, which the tables leave out, keep it
// from being set and many other fences may have its worth: most of them fail alike.
func (s *solver) ties(first int, travels bool, r *Result) (roots []root, top model.Score, met int64, open Reason) {
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
		uses, kept := s.uses(t)
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
	over, set := s.trace(roots, met)
	if s.keep(over) {
		return roots[:0], top, met, Caps
	}
	if s.between.last < 0 {
		for k := range roots {
			roots[k].t, roots[k].n = int32(s.from), int32(s.to-s.from+1)
		}
		return roots, top, met, Closed
	}
	if !set && !travels && len(roots) > 0 && s.many(met) {
		return roots[:0], top, met, Travels
	}
	s.others(first, &met, look)
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
	return roots, top, met, Closed
}

// fewTied is how many fences may have the greatest worth to be looked at although the
// first cannot be set.
const fewTied = 8

// many reports whether more fences may be worth so much.
func (s *solver) many(met int64) bool {
	n := 0
	s.profile.Over((s.to - s.from + 1) / 16)
	for t := s.from; t <= s.to && n <= fewTied; t++ {
		if s.bounds[t] >= met-s.profile.Slack {
			n++
		}
	}
	return n > fewTied
}

// others looks at every fence but the first that may be worth the greatest bound met, which
// look raises.
func (s *solver) others(first int, met *int64, look func(t int)) {
	lost := 0
	for t := s.from; t <= s.to; t++ {
		s.profile.Over(1)
		if t == first || s.bounds[t] < *met-s.profile.Slack {
			continue
		}
		if lost < fewLost || !s.lost(t, *met) {
			look(t)
			if s.bounds[t] < *met-s.profile.Slack {
				lost++
			}
		}
		if s.stopped() {
			return
		}
	}
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
