package rip

import "math"

// tolls are Lagrange multipliers for the caps that the states of a quota do not keep. A
// plan has only a limited number of the strips that count towards a cap (quota). So if
// each of them pays a toll, and as many tolls as there may be strips are given back to
// all plans, no valid plan loses by it; the greatest worth after tolls, including what
// was given back, is then a bound that takes all caps into account at once. In the same
// way a fee for any strip stands for the number of pockets. Tolls may be anything from 0
// on; tune looks for tolls with a low bound. They are coarse worth, in whole units, so
// that bounds stay exact.
//
// A part of a plan bounds what it can become by its own worth less its tolls, plus the
// most that the rest can be worth after tolls, plus all that is given back: the rest
// cannot have more strips that count than the part leaves.
type tolls struct {
	price []int64 // per want: what a strip pays that counts towards its cap
	fee   int64   // what any strip pays
	back  int64   // what is given back
}

// toll of a strip of want w that gives at least g.
func (c *ceiling) toll(in *instance, w *want, g cut) int64 {
	if p := c.price[w.index]; p > 0 && c.enough(in, w, g) {
		return p + c.fee
	}
	return c.fee
}

// paid is the price of a strip of want w that uses up amount.
func (c *ceiling) paid(w *want, amount int64) int64 {
	if p := c.price[w.index]; p > 0 && amount >= c.each[w.cap] {
		return p
	}
	return 0
}

// pays is what a strip of want w that uses up amount pays.
func (s *search) pays(w *want, amount int64) int64 {
	if s.ceil == nil {
		return 0
	}
	return s.ceil.paid(w, amount)
}

// tolled bounds the worth of what a label can become by tolls, coarsely. It reports false
// if only tables or widths bound what is to come.
func (s *search) tolled(l *label) (int64, bool) {
	return s.tolledSpan(int(l.j), l.a, l.a, l.score.Worth, l.paid)
}

// tolledSpan is tolled for a blade j that stands anywhere in [a, b].
func (s *search) tolledSpan(j int, a, b int64, worth worth, paid int64) (int64, bool) {
	c := s.ceil
	if c == nil || a%s.in.step != 0 {
		return 0, false
	}
	up := c.up(worth) - paid + c.back
	switch {
	case j < s.anchor:
		return up + s.tolledBefore(j, a, b), s.turned != nil
	case s.nextFixed[j] >= 0:
		return 0, false
	}
	return up + s.tolledPending() + c.beyond(s.in, len(s.in.blades)-1-j, a-s.w.hi, b-s.w.lo), true
}

// tolledPending bounds what lies before the anchor while that is still to come.
func (s *search) tolledPending() int64 {
	if !s.pending || !s.anchored {
		return 0
	}
	most := s.ceil.up(s.pendingWorth())
	if a := s.in.blades[s.anchor].lo; s.turned != nil && a%s.in.step == 0 {
		most = min(most, s.tolledBefore(s.anchor, a, a))
	}
	return most
}

// beyond bounds what lies beyond a blade that stands from one height to another,
// with k blades beyond it, after tolls.
func (c *ceiling) beyond(in *instance, k int, from, to int64) int64 {
	if from == to && (from-c.lo)%in.step == 0 {
		return c.over(in, k, 0, from)
	}
	i := min(max((from-c.lo)/in.step, 0), int64(c.n))
	return c.suffix[k*c.states][i]
}

// takeTolls makes labels pay tolls if the quota leaves caps out and several blades move
// beyond the last fixed one or before the first. It reports false if the search was
// stopped.
func (s *search) takeTolls() bool {
	in := s.in
	before, m := 0, 0
	for m < len(in.blades) && in.blades[len(in.blades)-1-m].moving {
		m++
	}
	if s.anchored && !in.straight {
		before = s.anchor
	}
	if in.reripWidth > 0 || max(before, m) < 2 || s.quota.whole(in) || !s.ceilingFits(before+m) {
		return true
	}
	c := s.newCeiling()
	if s.over() || c.back > 0 && !c.build(s, m) {
		return false
	}
	if c.back > 0 {
		s.ceil = c
		return before < 2 || s.turnTolls(before)
	}
	return true
}

// quickTolls lowers the quick bound to what tolls allow.
func (s *search) quickTolls(sc *score) {
	if s.ceil == nil {
		return
	}
	was := s.pending
	s.pending = true
	a := s.in.blades[s.anchor].lo
	v, ok := s.tolledSpan(s.anchor, a, a, s.withNearSide(score{}, a).Worth, 0)
	s.pending = was
	if ok && s.ceil.worth(v).Cmp(sc.Worth) < 0 {
		*sc = score{Worth: s.ceil.worth(v), Area: math.MaxInt64}
	}
}
