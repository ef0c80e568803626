package rip

import "slices"

// A search for runners-up has to prove the best of each kind, and for most kinds that an
// interval of fences allows, better plans are known from elsewhere. Every sweep over an
// interval leaves the kinds of which it could hold a better plan; inside the interval
// only labels that can still become one of those are kept.

// openKind is a kind of which some plan could better the pool.
type openKind struct {
	kind  kind
	wants []int16 // its items, in rising order
}

// leave notes that the kind of the path traced last is still open.
func (s *search) leave(k kind) {
	s.tick(int64(len(s.left)/8 + 1))
	if !s.kinds || slices.ContainsFunc(s.left, func(o openKind) bool { return o.kind == k }) {
		return
	}
	s.growing.left.to(s.budget, len(s.left)+1, 128) // with its items, about
	o := openKind{kind: k}
	for _, w := range s.pathA.wants {
		if w != noWant {
			o.wants = append(o.wants, w)
		}
	}
	slices.Sort(o.wants)
	s.left = append(s.left, o)
}

// allow allows labels to become only one of the open kinds; nil allows all. For each kind
// of a part it sets the worst plan that it has to better.
func (s *search) allow(open []openKind) {
	s.allowed = nil
	if open == nil || !s.pool.full() {
		return
	}
	s.allowed = map[kind]*found{}
	for _, o := range open {
		if s.allowParts(kind{}, o.wants, s.pool.rival(o.kind)); len(s.allowed) > mostParts {
			s.allowed = nil
			return
		}
	}
}

// mostParts limits the parts of kinds that are kept apart: a kind of many items has a
// part for each set of them. If there are more, labels of all kinds are kept.
const mostParts = 1 << 13

// allowParts allows k with every part of the rest of a kind's items.
func (s *search) allowParts(k kind, rest []int16, rival *found) {
	s.tick(1)
	if len(s.allowed) > mostParts {
		return
	}
	s.growing.allowed.to(s.budget, len(s.allowed)+1, 64)
	if r := s.allowed[k]; r == nil || rival.score.Cmp(&r.score) < 0 {
		s.allowed[k] = rival
	}
	for i, w := range rest {
		if i == 0 || rest[i-1] != w {
			s.allowParts(s.marked(k, &s.in.wants[w]), rest[i+1:], rival)
		}
	}
}

// barred reports whether a label with the bound up can become nothing new.
func (s *search) barred(k kind, up *score) bool {
	if s.allowed == nil {
		return false
	}
	rival := s.allowed[k]
	if rival == nil {
		return true
	}
	c := up.Cmp(&rival.score)
	return c < 0 || c == 0 && rival.placed(s.pool.skew, s.f.lo) < 0
}

// rival gives the plan that a plan of kind k has to better to enter a full pool.
func (p *pool) rival(k kind) *found {
	for _, g := range p.plans {
		if g.kind == k {
			return g
		}
	}
	return p.worst()
}
