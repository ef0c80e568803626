package fences

import (
	"math"

	"github.com/ripwright/ripwright/solver/internal/search/model"
)

// trace keeps a plan of the roots of one fence as the incumbent, so that a search which
// is stopped has one; set says whether one can be set. Strips that overrun a cap are left
// out, and those caps listed. No plan of the fences at hand is worth more than most, in
// coarse units.
func (s *solver) trace(roots []root, most int64) (over []int, set bool) {
	if s.stopped() {
		return nil, false
	}
	p := s.settle(roots, math.MaxInt64)
	if p == nil || s.stopped() {
		return nil, false
	}
	over = s.m.Overrun(p)
	for range p.Wants {
		sc, valid := s.m.Rate(p)
		if valid {
			p.Score = sc
			s.offer(p)
			if s.tell != nil {
				s.tell(sc.Worth, s.profile.Worth(max(most, 0)))
			}
			break
		}
		s.relieve(p)
	}
	return over, true
}

// offer makes a plan the incumbent if it comes before the present one.
func (s *solver) offer(p *model.Plan) {
	if s.incumbent == nil || p.Before(s.incumbent) {
		s.incumbent = p
	}
}

// relieve leaves out one strip of a cap that a plan breaks: the one that is worth least.
func (s *solver) relieve(p *model.Plan) {
	m := s.m
	for _, c := range m.Overrun(p) {
		least := -1
		var worth model.Score
		for k, i := range p.Wants {
			if i == model.None || m.Wants[i].Cap != c {
				continue
			}
			left, right := m.Pocket(p, k)
			sc := m.Wants[i].Strip(right-left, m.Cut(&m.Wants[i], left, right))
			if least < 0 || sc.Cmp(&worth) < 0 {
				least, worth = k, sc
			}
		}
		if least >= 0 {
			p.Wants[least] = model.None
		}
	}
}
