package fences

import (
	"cmp"
	"slices"

	"github.com/ripwright/ripwright/solver/internal/search/model"
	"github.com/ripwright/ripwright/solver/internal/search/resource"
)

// uses gives for each state that can be left the best use of the parts at a stop of the
// fence, and reports whether they stay: where all parts are clear, the same serve all such
// stops. Others hold until the next call, unless they are kept.
func (s *solver) uses(t int) (l []use, stay bool) {
	b := s.between
	switch {
	case !b.clearAt(t):
		return b.uses(t, s.states), false
	case b.clear == nil:
		b.clear = s.kept(b.uses(t, s.states))
	}
	return b.clear, true
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

// clearAt reports whether all parts are clear at a stop of the fence.
func (b *between) clearAt(t int) bool {
	return !slices.ContainsFunc(b.parts, func(c part) bool {
		return c.pocket != nil && !c.pocket.Clear(t) || c.span != nil && !c.span.Clear(t)
	})
}

// uses computes the best uses at a stop of the fence: of those with the same score the one
// that travels least, and of those the first by blades and then wants.
func (b *between) uses(t int, states *resource.States) []use {
	b.buf[0].list = append(b.buf[0].list[:0], use{state: states.Count - 1})
	l := b.buf[0].list
	for k := range b.parts {
		l = b.extend(l, &b.parts[k], t, states, &b.buf[(k+1)%2])
	}
	return l
}

// useBuffer is memory for uses: the blades and wants of each have their own stretch.
type useBuffer struct {
	list   []use
	blades []int64
	wants  []int
	at     [1]int64
}

// own gives a copy of uses.
func own(l []use) []use {
	n := 0
	for k := range l {
		n += len(l[k].blades)
	}
	c, blades, wants := slices.Clone(l), make([]int64, 0, n), make([]int, 0, n)
	for k := range c {
		from := len(blades)
		blades, wants = append(blades, l[k].blades...), append(wants, l[k].wants...)
		c[k].blades, c[k].wants = blades[from:len(blades):len(blades)], wants[from:len(wants):len(wants)]
	}
	return c
}

func (b *between) extend(l []use, c *part, t int, states *resource.States, to *useBuffer) []use {
	n := b.last - b.first
	to.list = to.list[:0]
	to.blades, to.wants = slices.Grow(to.blades[:0], n*states.Count), slices.Grow(to.wants[:0], n*states.Count)
	offer := func(u *use, state int, up int64, sc model.Score, travel int64, blades []int64, wants ...int) {
		n := use{score: u.score.Plus(sc), travel: u.travel + travel, up: u.up + up, state: state}
		k := slices.IndexFunc(to.list, func(o use) bool { return o.state == state })
		if k < 0 {
			n.blades = to.blades[len(to.blades):]
			n.wants = to.wants[len(to.wants):]
			n.blades = append(append(n.blades, u.blades...), blades...)
			n.wants = append(append(n.wants, u.wants...), wants...)
			to.blades, to.wants = to.blades[:len(to.blades)+len(n.blades)], to.wants[:len(to.wants)+len(n.wants)]
			to.list = append(to.list, n)
			return
		}
		o := &to.list[k]
		if cmp.Or(n.score.Cmp(&o.score), cmp.Compare(o.travel, n.travel), u.compare(o, blades, wants)) <= 0 {
			return
		}
		n.blades = append(append(o.blades[:0], u.blades...), blades...)
		n.wants = append(append(o.wants[:0], u.wants...), wants...)
		*o = n
	}
	for k := range l {
		u := &l[k]
		if b.p.Over(64) {
			return l
		}
		if c.span != nil {
			w := c.span.fillings(t)
			if c.span.full {
				return nil
			}
			states.Splits(u.state, func(a, left int) {
				if x := &w.by[a]; x.up >= 0 {
					offer(u, left, x.up, x.score, x.travel, x.blades, x.wants...)
				}
			})
			continue
		}
		to.at[0] = b.p.M.Blades[c.to].Lo
		c.pocket.Strips(t, func(w *model.Want, width, n int64, sc model.Score) {
			b.p.Over(64 + len(to.list))
			states.After(u.state, w, width, n, func(state int) {
				offer(u, state, b.p.Up(sc.Worth), sc, 0, to.at[:], w.Index)
			})
		})
		offer(u, u.state, 0, model.Score{}, 0, to.at[:], model.None)
	}
	return to.list
}

// compare is above 0 if a use that is extended by blades and wants comes before another
// of its score and travel.
func (a *use) compare(b *use, blades []int64, wants []int) int {
	n := len(a.blades)
	return -cmp.Or(slices.Compare(a.blades, b.blades[:n]), slices.Compare(blades, b.blades[n:]),
		model.CompareWants(a.wants, b.wants[:n]), model.CompareWants(wants, b.wants[n:]))
}

// same reports whether two uses are equal.
func (a *use) same(b *use) bool {
	return a.score == b.score && a.travel == b.travel && a.up == b.up && a.state == b.state &&
		slices.Equal(a.blades, b.blades) && slices.Equal(a.wants, b.wants)
}
