package rip

import (
	"slices"

	"github.com/ripwright/ripwright/solver/unit"
)

// none makes room for the levels of up to m further blades, and that of none.
func (c *ceiling) none(m int) {
	c.level, c.suffix = resize(c.level, (m+1)*c.states), resize(c.suffix, (m+1)*c.states)
	zero := c.longs.take(c.n + 1)
	for state := range c.states {
		c.level[state], c.suffix[state] = zero, zero
	}
}

// endless makes one level for any number of further blades and uses it for every number
// from 1 to m. It reports false if the search was stopped.
//
// No blade is closer to the next than reach entries, so a block of that many depends only
// on what lies beyond it.
func (c *ceiling) endless(s *search, m int) bool {
	if m < 1 || c.crowded || c.reach(s.in) < 1 {
		return c.build(s, m)
	}
	c.none(m)
	c.exact = m == 1
	for state := range c.states {
		if !s.spend(int64(c.n*len(s.in.wants)/64 + 1)) {
			return false
		}
		l, rest := c.longs.take(c.n+1), c.longs.take(c.n+1)
		for k := 1; k <= m; k++ {
			c.level[k*c.states+state], c.suffix[k*c.states+state] = l, rest
		}
		c.stretch(s.in, l, rest, state, c.suffix[c.states:])
	}
	loose := c.level[2*c.states-1]
	for state := range c.states - 1 {
		_, first := c.before(s.in, state)
		l, rest := c.level[c.states+state], c.suffix[c.states+state]
		c.tick(int64(first)/256 + 1)
		copy(l[:first], loose)
		for j := first - 1; j >= 0; j-- {
			rest[j] = max(rest[j+1], l[j])
		}
	}
	return true
}

// stretch computes a level for any number of blades in a state of the quota, and the
// greatest of its entries from each one on, which suffixes has already.
func (c *ceiling) stretch(in *instance, l, rest []int64, state int, suffixes [][]int64) {
	reach := c.reach(in)
	_, first := c.before(in, state)
	c.restart()
	for to := c.n; to > first; to -= reach {
		from := max(to-reach, first)
		c.raise(in, block{l, from, to}, state, suffixes)
		c.tick(int64(to-from)/256 + 1)
		for j := to - 1; j >= from; j-- {
			rest[j] = max(rest[j+1], l[j])
		}
	}
}

// build makes the levels for 0 to m further blades. It reports false if the search was
// stopped.
func (c *ceiling) build(s *search, m int) bool {
	c.exact = true
	c.none(m)
	for k := 1; k <= m; k++ {
		same := true
		for state := c.states - 1; state >= 0; state-- {
			if !s.spend(int64(c.n*len(s.in.wants)/64 + 1)) {
				return false
			}
			at := k*c.states + state
			strips, first := c.before(s.in, state)
			loose := c.level[(k+1)*c.states-1]
			if k > m-strips { // never asked for
				c.level[at], c.suffix[at] = loose, c.suffix[(k+1)*c.states-1]
				continue
			}
			l, below := c.longs.take(c.n+1), c.level[at-c.states]
			// If k strips have no room, a blade stands idle. After a strip that adds
			// nothing, since what is beyond may stand further out at no cost anyway, so
			// the level below bounds it; but the first blade may stand idle too, so that
			// the first strip begins where its run is longer.
			room := s.in.outerHi - c.lo - int64(k)*(c.narrowest+s.in.kerf)
			end := int(min(max(unit.FloorDiv(room, s.in.step)+1, 0), int64(c.n)))
			copy(l[end:], below[end:])
			rest, spread := c.suffix[at-c.states], int(unit.CeilDiv(s.in.kerf+s.in.gap, s.in.step))
			for j := end; j+spread < c.n; j++ {
				l[j] = max(l[j], rest[j+spread])
			}
			c.restart()
			c.raise(s.in, block{l, first, end}, state, c.suffix[(k-1)*c.states:])
			copy(l[:first], loose)
			c.level[at] = l
			if slices.Equal(l, below) {
				c.level[at], c.suffix[at] = c.level[at-c.states], c.suffix[at-c.states]
				continue
			}
			same = false
			c.suffix[at] = c.rising(l)
		}
		if same { // one blade more is no gain, nor are two
			for at := (k + 1) * c.states; at < len(c.level); at++ {
				c.level[at], c.suffix[at] = c.level[at-c.states], c.suffix[at-c.states]
			}
			break
		}
	}
	return true
}

// before gives how many strips must have been cut before a blade for the quota to be in a
// state, and the first entry at which the blade can then stand.
func (c *ceiling) before(in *instance, state int) (strips, first int) {
	y := in.outerLo
	for i := range in.wants {
		w := &in.wants[i]
		if c.kept(w) && state/c.unit[w.cap]%(c.most[w.cap]+1) < c.most[w.cap] {
			if strips++; strips > 1 {
				y += in.kerf
			}
			y += w.lo
		}
	}
	if strips == 0 {
		return 0, 0
	}
	return strips, min(max(int(unit.CeilDiv(y-c.lo, in.step)), 0), c.n)
}

// rising gives the greatest entry from each one on.
func (c *ceiling) rising(l []int64) []int64 {
	to, most := c.longs.raw(len(l)), int64(never)
	c.tick(int64(len(l))/256 + 1)
	for i := len(to) - 1; i >= 0; i-- {
		most = max(most, l[i])
		to[i] = most
	}
	return to
}
