package rip

import (
	"cmp"
	"slices"

	"github.com/ripwright/ripwright/solver/internal/search/model"
)

// label is a part of a plan: the blades from the anchor to blade j, with j at a. Labels
// at the same blade and position have the same future, so only the best of them is kept;
// if caps matter, the best for each usage.
type label struct {
	a     int64
	prev  int32 // index of the label before this one, or -1
	j     int16
	item  int16 // want in the pocket joined last, or noWant
	edge  int16 // want in the pocket at the straight edge, or noWant
	next  int32 // the next label kept at the same position, or -1
	used  int32 // usage of caps, by its number in the arena
	paid  int64 // tolls, see tolls; 0 if there are none
	score score
	kind  kind
}

const noWant = -1

// kind identifies the multiset of a plan's items. Two sums of 64-bit marks distinguish
// kinds; it is used only to distinguish runners-up.
type kind struct{ a, b uint64 }

func (k kind) with(item int) kind {
	k.a += mix(uint64(item)*2 + 1)
	k.b += mix(uint64(item)*2 + 0x9e3779b97f4a7c15)
	return k
}

// mix is the finaliser of splitmix64 (Steele, Lea and Flood 2014).
func mix(x uint64) uint64 {
	x += 0x9e3779b97f4a7c15
	x = (x ^ x>>30) * 0xbf58476d1ce4e5b9
	x = (x ^ x>>27) * 0x94d049bb133111eb
	return x ^ x>>31
}

// uses is how far a capped item has been used: the sum over its strips and the
// largest of them. The cap is kept while sum - largest < open.
type uses struct{ sum, largest int64 }

func (u uses) with(amount int64) uses {
	return uses{u.sum + amount, max(u.largest, amount)}
}

// lighter reports whether every future open to v is open to u as well: a further strip of
// amount a makes sum - largest the lesser of sum and sum - largest + a, so if u is no
// greater in both, it stays so.
func (u uses) lighter(v uses) bool {
	return u.sum <= v.sum && u.sum-u.largest <= v.sum-v.largest
}

// lighter reports whether u is lighter than v on every cap.
func lighter(u, v []uses) bool {
	for i := range u {
		if !u[i].lighter(v[i]) {
			return false
		}
	}
	return true
}

// arena holds usages of all caps; the last one made is given back first.
type arena struct {
	of  paged[[]uses]
	all slab[uses]
}

// add makes room for one more.
func (a *arena) add(s *search) []uses {
	u := a.all.raw(s.in.caps)
	a.of.add(s.budget, &u, 0)
	return u
}

// arenaMark is the number of usages.
type arenaMark struct {
	of  int
	all place
}

func (a *arena) mark() arenaMark { return arenaMark{a.of.n, a.all.mark()} }

// back gives back what was added since the mark.
func (a *arena) back(to arenaMark) {
	a.of.n = to.of
	a.all.back(to.all)
}

// usage gives the label's use of every cap.
func (s *search) usage(l *label) []uses { return *s.usages.of.at(l.used) }

// use adds a strip to the usage of prev and gives the new usage's place; it reports false
// if the cap is overrun by more than the last strip.
func (s *search) use(prev int32, w *want, amount int64) (int32, bool) {
	if s.in.caps == 0 {
		return 0, true
	}
	at := prev
	if w != nil && w.cap >= 0 && amount > 0 {
		u := (*s.usages.of.at(prev))[w.cap].with(amount)
		if u.sum-u.largest >= w.open {
			return 0, false
		}
		s.tick(int64(s.in.caps) / 64)
		at = int32(s.usages.of.n)
		all := s.usages.add(s)
		copy(all, *s.usages.of.at(prev))
		all[w.cap] = u
	}
	return at, true
}

// covers reports whether label a dominates b: at least as good, and no heavier on any
// cap. Both are taken over the same fences, so a's future is scored as b's. The tolls
// that they paid do not matter: tolls bound what labels can become, and a can become as
// good as b.
func (s *search) covers(a, b *label) bool {
	if a.kind != b.kind {
		return false
	}
	c := a.score.Cmp(&b.score)
	if c < 0 {
		return false
	}
	if a.used != b.used {
		s.tick(int64(s.in.caps) / 128)
		if !lighter(s.usage(a), s.usage(b)) {
			return false
		}
	}
	return c > 0 || !s.f.single() || s.lexCmp(a, b) <= 0
}

// lexCmp compares the positions and then the items of two labels of one blade.
func (s *search) lexCmp(a, b *label) int {
	s.trace(a, &s.pathA)
	s.trace(b, &s.pathB)
	return s.pathA.cmp(&s.pathB)
}

// path is a label written out. Blades and pockets that it has not reached are zero.
type path struct {
	blades []int64
	wants  []int16 // by pocket; with a straight edge pocket 0 lies beside it
}

func (p *path) clone() *path { return &path{slices.Clone(p.blades), slices.Clone(p.wants)} }

func (p *path) cmp(q *path) int {
	return cmp.Or(slices.Compare(p.blades, q.blades), model.CompareWants(p.wants, q.wants))
}

func (s *search) trace(l *label, to *path) {
	clear(to.blades)
	clear(to.wants)
	off := 0
	if s.in.straight {
		off = 1
	}
	for {
		to.blades[l.j] = l.a
		if l.j == 0 && s.in.straight {
			to.wants[0] = l.edge
		}
		if l.prev >= 0 || int(l.j) != s.anchor {
			pocket := int(l.j) // going left the pocket lies beyond the blade
			if int(l.j) > s.anchor {
				pocket-- // going right, before it
			}
			to.wants[pocket+off] = l.item
		}
		if l.prev < 0 {
			return
		}
		l = s.labels.at(l.prev)
	}
}
