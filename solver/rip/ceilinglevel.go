package rip

import (
	"slices"

	"github.com/ripwright/ripwright/solver/unit"
)

// build makes the levels for 0 to m further blades. It reports false when the
// search was stopped.
func (c *ceiling) build(s *search, m int) bool {
	c.level, c.suffix = make([][]int64, (m+1)*c.states), make([][]int64, (m+1)*c.states)
	zero := c.longs.take(c.n + 1)
	for state := range c.states {
		c.level[state], c.suffix[state] = zero, zero
	}
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
			c.level[at] = c.raise(s.in, k, state, first)
			copy(c.level[at][:first], loose)
			if slices.Equal(c.level[at], c.level[at-c.states]) {
				c.level[at], c.suffix[at] = c.level[at-c.states], c.suffix[at-c.states]
				continue
			}
			same = false
			c.suffix[at] = c.rising(c.level[at])
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

// before gives how many strips must have been cut before a blade for the quota to
// be in a state, and the first entry at which the blade can stand then.
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

// rising gives the greatest entry from each on.
func (c *ceiling) rising(l []int64) []int64 {
	to, most := c.longs.raw(len(l)), int64(never)
	for i := len(to) - 1; i >= 0; i-- {
		most = max(most, l[i])
		to[i] = most
	}
	return to
}

// raise gives level k for one state, from an entry on. The entries beyond a strip are read from
// the suffix, as if the next blade could stand still further out for nothing.
func (c *ceiling) raise(in *instance, k, state, first int) []int64 {
	c.first = first
	l := c.longs.raw(c.n + 1)
	rest := c.suffix[(k-1)*c.states+state]
	// Where k strips have no room, the kth blade is no use.
	room := in.outerHi - c.lo - int64(k)*(c.narrowest+in.kerf)
	end := int(min(max(unit.FloorDiv(room, in.step)+1, 0), int64(c.n)))
	copy(l[end:], c.level[(k-1)*c.states+state][end:])
	spread := min(int(unit.CeilDiv(in.kerf+in.gap, in.step)), c.n)
	clear(l[copy(l[:end], rest[spread:]):end])
	c.raiseFull(in, l[:end], rest)
	for i := range in.wants {
		w := &in.wants[i]
		var less []int64 // beyond a strip that counts
		if to := c.less(state, w); to >= 0 {
			less = c.suffix[(k-1)*c.states+to]
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
			c.raiseSpots(in, l[:end], i, rest, beyond)
		case w.it.Random:
			c.raiseRange(in, l[:end], i, rest, beyond)
		default:
			c.raiseFixed(in, l[:end], i, less, beyond)
		}
		if in.straight {
			c.raiseEdge(l[:end], i, in, beyond)
		}
	}
	return l
}

// lay raises entry j to a strip of want w that gives g, with r beyond it.
func (c *ceiling) lay(l []int64, j int, w *want, width int64, g cut, r int64) {
	l[j] = max(l[j], r+c.up(w.worth(width, g)))
}

// raiseFull lays strips that are clear from end to end and leave the quota as it
// is. Only those count that no narrower strip is worth as much as: the entries
// beyond only fall.
func (c *ceiling) raiseFull(in *instance, l, rest []int64) {
	from := max(c.nearN, c.first)
	all := c.full
	for ; len(all) > 1; all = all[2:] {
		layTwo(all[0], all[1], l, rest, from, c.farFrom)
	}
	if len(all) > 0 {
		all[0].lay(l, rest, from, c.farFrom)
	}
	for _, r := range c.windows {
		c.slide(in, l, &in.wants[r.want], r.lo, r.hi, rest)
	}
}

// lay raises all entries from which a strip is clear from end to end.
func (f fullStrip) lay(l, beyond []int64, from, to int) {
	if to = min(to-f.stops, len(l)); to <= from {
		return
	}
	part, rest := l[from:to], beyond[from+f.stops:to+f.stops]
	for j, r := range rest {
		part[j] = max(part[j], r+f.worth)
	}
}

// layTwo lays two strips, the narrower one first, in one pass.
func layTwo(f, g fullStrip, l, beyond []int64, from, to int) {
	both := min(to-g.stops, len(l))
	if both <= from {
		f.lay(l, beyond, from, to)
		return
	}
	part := l[from:both]
	a, b := beyond[from+f.stops:][:len(part)], beyond[from+g.stops:][:len(part)]
	for j, v := range part {
		part[j] = max(v, a[j]+f.worth, b[j]+g.worth)
	}
	f.lay(l, beyond, both, to)
}

// raiseFixed lays strips of a fixed width that raiseFull does not.
func (c *ceiling) raiseFixed(in *instance, l []int64, i int, less []int64, beyond func(cut) []int64) {
	w, d := &in.wants[i], c.widths[i].lo
	n := min(c.n-d, len(l))
	if c.counts(in, w, w.full) && less != nil {
		fullStrip{d, c.up(w.worth(w.lo, w.full)), w}.lay(l, less, max(c.nearN, c.first), c.farFrom)
	}
	far := c.farWorth[i]
	if from := max(c.nearN, c.farFrom-d, c.first); from < n && !c.kept(w) {
		part, rest := l[from:n], beyond(w.full)[from+d:n+d]
		for j, v := range far[from+d-c.farFrom:][:len(part)] {
			part[j] = max(part[j], rest[j]+v)
		}
	} else {
		for j := from; j < n; j++ {
			if r := beyond(c.far[i][j+d-c.farFrom]); r != nil {
				l[j] = max(l[j], r[j+d]+far[j+d-c.farFrom])
			}
		}
	}
	if in.straight {
		return
	}
	for j := c.first; j < min(c.nearN, n); j++ {
		if g := c.end(i, j+d, c.near[i][j]); g.n > 0 {
			if r := beyond(g); r != nil {
				c.lay(l, j, w, w.lo, g, r[j+d])
			}
		}
	}
}

// raiseRange lays strips of a random width that raiseFull does not: where either
// end lies beside an edge, widths are tried one by one.
func (c *ceiling) raiseRange(in *instance, l []int64, i int, rest []int64, beyond func(cut) []int64) {
	d := c.widths[i]
	if c.counts(in, &in.wants[i], in.wants[i].full) {
		if full := beyond(in.wants[i].full); full != nil && c.farFrom-d.lo > c.nearN {
			c.slide(in, l, &in.wants[i], d.lo, d.hi, full)
		}
	}
	for _, open := range c.beside {
		if open.want != i {
			continue
		}
		if !in.straight {
			for j := c.first; j < min(c.nearN, len(l)); j++ {
				c.raiseEach(in, l, i, j, j+open.lo, j+open.hi, rest, beyond, func(q int) cut { return c.end(i, q, c.near[i][j]) })
			}
		}
		for j := max(c.nearN, c.farFrom-open.hi, c.first); j < min(c.n-open.lo, len(l)); j++ {
			c.raiseEach(in, l, i, j, max(j+open.lo, c.farFrom), j+open.hi, rest, beyond, func(q int) cut { return c.far[i][q-c.farFrom] })
		}
	}
}

// raiseSpots lays strips of a want that refuses some defect.
func (c *ceiling) raiseSpots(in *instance, l []int64, i int, rest []int64, beyond func(cut) []int64) {
	d := c.widths[i]
	for j := c.first; j < min(c.n-d.lo, len(l)); j++ {
		if c.height(in, j)+in.kerf < in.outerLo {
			continue
		}
		c.raiseEach(in, l, i, j, j+d.lo, j+d.hi, rest, beyond, func(q int) cut { return c.spot(i, j, q) })
	}
}

// raiseEach lays strips from entry j to the entries from first to last, of which
// gives says what they give at most, no less for the narrower: from the widest
// down, in blocks that are passed over when their widest, longest and best
// together fall short.
func (c *ceiling) raiseEach(in *instance, l []int64, i, j, first, last int, rest []int64, beyond func(cut) []int64, gives func(q int) cut) {
	const block = 16
	w := &in.wants[i]
	last = min(last, c.n-1)
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

// slide lays full-length strips of a random width. Their worth grows by the
// same amount from one width to the next, so it is the greatest entry of a
// sliding window that counts; it is taken from prefixes and suffixes of blocks
// as long as the window (van Herk 1992, Gil and Werman 1993).
func (c *ceiling) slide(in *instance, l []int64, w *want, da, db int, full []int64) {
	base, each := c.up(w.worth(int64(da)*in.step-in.kerf, w.full)), int64(0)
	if w.byWidth() {
		each = c.up(w.worth(in.step, w.full))
	}
	size := db - da + 1
	n := c.farFrom + size
	for k := range c.window {
		c.window[k] = slices.Grow(c.window[k][:0], n)[:n]
	}
	g, left, right := c.window[0], c.window[1], c.window[2]
	for q, v := range full[:c.farFrom] {
		g[q] = v + int64(q)*each
	}
	for q := c.farFrom; q < n; q++ {
		g[q] = never
	}
	for b := 0; b < n; b += size {
		end := min(b+size, n)
		run := int64(never)
		for q := b; q < end; q++ {
			run = max(run, g[q])
			left[q] = run
		}
		run = never
		for q := end - 1; q >= b; q-- {
			run = max(run, g[q])
			right[q] = run
		}
	}
	for j := max(c.nearN, c.first); j < min(c.farFrom-da, len(l)); j++ {
		best := max(right[j+da], left[j+db])
		l[j] = max(l[j], base+best-int64(j+da)*each)
	}
}

// raiseEdge serves the blades that stand beyond a straight edge, which bounds
// their pocket in their place.
func (c *ceiling) raiseEdge(l []int64, i int, in *instance, beyond func(cut) []int64) {
	w := &in.wants[i]
	best := int64(0)
	for q, g := range c.edge[i] {
		if g.n > 0 {
			if r := beyond(g); r != nil {
				best = max(best, r[q]+c.up(w.worth(c.height(in, q), g)))
			}
		}
	}
	for j := range min(c.nearN, len(l)) {
		l[j] = max(l[j], best)
	}
}
