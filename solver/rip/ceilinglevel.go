package rip

import (
	"slices"

	"github.com/ripwright/ripwright/solver/unit"
)

// endless makes one level for any number of further blades and has it stand for
// every number from 1 to m. It reports false when the search was stopped.
//
// No blade stands nearer to the next than reach entries, so a block of that many
// needs only what lies beyond it.
func (c *ceiling) endless(s *search, m int) bool {
	c.none()
	reach := int(unit.CeilDiv(s.in.kerf+s.in.gap, s.in.step))
	for _, d := range c.widths {
		if d.lo <= d.hi {
			reach = min(reach, d.lo)
		}
	}
	if reach < 1 {
		return c.build(s, m)
	}
	for state := range c.states {
		if !s.spend(int64(c.n*len(s.in.wants)/64 + 1)) {
			return false
		}
		l, rest := c.longs.take(c.n+1), c.longs.take(c.n+1)
		c.level, c.suffix = append(c.level, l), append(c.suffix, rest)
		c.restart()
		for to := c.n; to > 0; to -= reach {
			from := max(to-reach, 0)
			c.raise(s.in, block{l, from, to}, state, c.suffix[c.states:])
			for j := to - 1; j >= from; j-- {
				rest[j] = max(rest[j+1], l[j])
			}
		}
	}
	for k := 1; k < m; k++ {
		c.level, c.suffix = append(c.level, c.level[c.states:2*c.states]...), append(c.suffix, c.suffix[c.states:2*c.states]...)
	}
	c.exact = m <= 1
	return true
}

// none makes the level of no further blade.
func (c *ceiling) none() {
	c.level, c.suffix = c.level[:0], c.suffix[:0]
	zero := c.longs.take(c.n + 1)
	for range c.states {
		c.level, c.suffix = append(c.level, zero), append(c.suffix, zero)
	}
}

// build makes the levels for 0 to m further blades. It reports false when the
// search was stopped.
func (c *ceiling) build(s *search, m int) bool {
	c.exact = true
	c.none()
	for k := 1; k <= m; k++ {
		same := true
		for state := range c.states {
			if !s.spend(int64(c.n*len(s.in.wants)/64 + 1)) {
				return false
			}
			below := c.level[(k-1)*c.states+state]
			l := c.longs.take(c.n + 1)
			// Where k strips have no room, the kth blade is no use.
			room := s.in.outerHi - c.lo - int64(k)*(c.narrowest+s.in.kerf)
			end := int(min(max(unit.FloorDiv(room, s.in.step)+1, 0), int64(c.n)))
			copy(l[end:], below[end:])
			c.restart()
			c.raise(s.in, block{l, 0, end}, state, c.suffix[(k-1)*c.states:])
			if slices.Equal(l, below) {
				l = below
			}
			same = same && &l[0] == &below[0]
			c.level = append(c.level, l)
			c.suffix = append(c.suffix, c.rising(l))
		}
		if same { // one blade more is no gain, nor are two
			for len(c.level) < (m+1)*c.states {
				c.level = append(c.level, c.level[len(c.level)-c.states])
				c.suffix = append(c.suffix, c.suffix[len(c.suffix)-c.states])
			}
			break
		}
	}
	return true
}

// rising gives the greatest entry from each on.
func (c *ceiling) rising(l []int64) []int64 {
	to := c.longs.take(len(l))
	copy(to, l)
	for i := len(to) - 2; i >= 0; i-- {
		to[i] = max(to[i], to[i+1])
	}
	return to
}

// block is the part of a level that is being raised.
type block struct {
	l        []int64
	from, to int
}

// raise raises entries of a state's level to what one more blade allows. The
// entries beyond a strip are read from suffixes, by state: as if the next blade
// could stand still further out for nothing.
func (c *ceiling) raise(in *instance, b block, state int, suffixes [][]int64) {
	rest := suffixes[state]
	spread := int(unit.CeilDiv(in.kerf+in.gap, in.step))
	if from := b.from + spread; from < c.n {
		copy(b.l[b.from:b.to], rest[from:])
	}
	for i := range in.wants {
		w := &in.wants[i]
		var less []int64 // beyond a strip that counts
		if to := c.less(state, w); to >= 0 {
			less = suffixes[to]
		}
		beyond := func(g cut) []int64 {
			if c.counts(in, w, g) {
				return less
			}
			return rest
		}
		switch d := c.widths[i]; {
		case d.lo > d.hi:
		case len(w.refused) > 0:
			c.raiseSpots(in, b, i, rest, beyond)
		case w.it.Random:
			c.raiseRange(in, b, i, rest, beyond)
		default:
			c.raiseFixed(in, b, i, beyond)
		}
		if in.straight {
			c.raiseEdge(b, i, in, beyond)
		}
	}
}

// lay raises entry j to a strip of want w that gives g, with r beyond it.
func (c *ceiling) lay(l []int64, j int, w *want, width int64, g cut, r int64) {
	l[j] = max(l[j], r+c.up(w.worth(width, g)))
}

// raiseFixed lays strips of a fixed width.
func (c *ceiling) raiseFixed(in *instance, b block, i int, beyond func(cut) []int64) {
	w, d, l := &in.wants[i], c.widths[i].lo, b.l
	n := min(c.n-d, b.to)
	if start, end := max(c.nearN, b.from), min(c.farFrom-d, n); end > start {
		if full := beyond(w.full); full != nil {
			v := c.up(w.worth(w.lo, w.full))
			to, from := l[start:end], full[start+d:end+d]
			for j, r := range from {
				to[j] = max(to[j], r+v)
			}
		}
	}
	some := func(j int, g cut) {
		if r := beyond(g); g.n > 0 && r != nil {
			c.lay(l, j, w, w.lo, g, r[j+d])
		}
	}
	for j := max(c.nearN, c.farFrom-d, b.from); j < n; j++ {
		some(j, c.far[i][j+d-c.farFrom])
	}
	if in.straight {
		return
	}
	for j := b.from; j < min(c.nearN, n); j++ {
		some(j, c.end(i, j+d, c.near[i][j]))
	}
}

// raiseRange lays strips of a random width.
func (c *ceiling) raiseRange(in *instance, b block, i int, rest []int64, beyond func(cut) []int64) {
	w, d := &in.wants[i], c.widths[i]
	if full := beyond(w.full); full != nil && c.farFrom-d.lo > c.nearN {
		c.slide(in, b, i, full)
	}
	// Where either end lies beside an edge, widths are tried one by one.
	if !in.straight {
		for j := b.from; j < min(c.nearN, b.to); j++ {
			c.raiseEach(in, b.l, i, j, j+d.lo, rest, beyond, func(q int) cut { return c.end(i, q, c.near[i][j]) })
		}
	}
	for j := max(c.nearN, c.farFrom-d.hi, b.from); j < min(c.n-d.lo, b.to); j++ {
		c.raiseEach(in, b.l, i, j, max(j+d.lo, c.farFrom), rest, beyond, func(q int) cut { return c.far[i][q-c.farFrom] })
	}
}

// raiseSpots lays strips of a want that refuses some defect.
func (c *ceiling) raiseSpots(in *instance, b block, i int, rest []int64, beyond func(cut) []int64) {
	d := c.widths[i]
	for j := b.from; j < min(c.n-d.lo, b.to); j++ {
		if c.height(in, j)+in.kerf < in.outerLo {
			continue
		}
		c.raiseEach(in, b.l, i, j, j+d.lo, rest, beyond, func(q int) cut { return c.spot(i, j, q) })
	}
}

// raiseEach lays strips from entry j to the entries first and beyond, of which
// gives says what they give at most, no less for the narrower: from the widest
// down, in blocks that are passed over when their widest, longest and best
// together fall short.
func (c *ceiling) raiseEach(in *instance, l []int64, i, j, first int, rest []int64, beyond func(cut) []int64, gives func(q int) cut) {
	const block = 16
	w := &in.wants[i]
	last := min(j+c.widths[i].hi, c.n-1)
	width := func(q int) int64 { return min(int64(q-j)*in.step-in.kerf, w.hi) }
	short := func(lo, hi int) bool {
		g := gives(lo)
		return g.n == 0 || rest[lo]+c.up(w.worth(width(hi), g)) <= l[j]
	}
	if first > last || short(first, last) {
		return
	}
	for hi := last; hi >= first; hi -= block {
		lo := max(hi-block+1, first)
		if short(lo, hi) {
			continue
		}
		for q := hi; q >= lo; q-- {
			if g := gives(q); g.n > 0 {
				if r := beyond(g); r != nil {
					c.lay(l, j, w, width(q), g, r[q])
				}
			}
		}
	}
}

// window is a sliding window that moves down over a level's entries: those of
// which none further down in it is as great, the furthest up at head.
type window struct {
	at    []int32
	worth []int64
	head  int
	next  int // entry that comes into it next
}

// restart empties the windows.
func (c *ceiling) restart() {
	for i := range c.windows {
		w := &c.windows[i]
		w.at, w.worth, w.head, w.next = w.at[:0], w.worth[:0], 0, c.farFrom-1
	}
}

// slide lays full-length strips of a random width. Their worth grows by the
// same amount from one width to the next, so it is the greatest entry of a
// sliding window that counts.
func (c *ceiling) slide(in *instance, b block, i int, full []int64) {
	w, d, v := &in.wants[i], c.widths[i], &c.windows[i]
	base, each := c.up(w.worth(int64(d.lo)*in.step-in.kerf, w.full)), int64(0)
	if w.byWidth() {
		each = c.up(w.worth(in.step, w.full))
	}
	for j := min(c.farFrom-d.lo, b.to) - 1; j >= max(c.nearN, b.from); j-- {
		for ; v.next >= j+d.lo; v.next-- {
			g := full[v.next] + int64(v.next)*each
			n := len(v.at)
			for n > v.head && v.worth[n-1] <= g {
				n--
			}
			v.at, v.worth = append(v.at[:n], int32(v.next)), append(v.worth[:n], g)
		}
		for int(v.at[v.head]) > j+d.hi {
			v.head++
		}
		b.l[j] = max(b.l[j], base+v.worth[v.head]-int64(j+d.lo)*each)
	}
}

// raiseEdge serves the blades that stand beyond a straight edge, which bounds
// their pocket in their place.
func (c *ceiling) raiseEdge(b block, i int, in *instance, beyond func(cut) []int64) {
	w := &in.wants[i]
	best := int64(0)
	for q, g := range c.edge[i] {
		if g.n > 0 {
			if r := beyond(g); r != nil {
				best = max(best, r[q]+c.up(w.worth(c.height(in, q), g)))
			}
		}
	}
	for j := b.from; j < min(c.nearN, b.to); j++ {
		b.l[j] = max(b.l[j], best)
	}
}
