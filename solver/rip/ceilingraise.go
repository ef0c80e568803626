package rip

import "github.com/ripwright/ripwright/solver/unit"

// block is the part of a level that is being raised.
type block struct {
	l        []int64
	from, to int
}

// raise raises entries of a state's level to what one more blade allows. The entries
// beyond a strip are read from suffixes, by state: as if the next blade could stand
// further out at no cost.
func (c *ceiling) raise(in *instance, b block, state int, suffixes [][]int64) {
	if b.from >= b.to {
		return
	}
	rest := suffixes[state]
	spread := int(unit.CeilDiv(in.kerf+in.gap, in.step))
	if from := b.from + spread; from < c.n {
		copy(b.l[b.from:b.to], rest[from:])
	}
	c.raiseFull(in, b, rest)
	for i := range in.wants {
		w := &in.wants[i]
		if !w.spotted() && !c.kept(w) && b.from >= c.nearN && b.to+c.widths[i].hi <= c.farFrom {
			continue // all its strips are clear from end to end
		}
		var less []int64 // beyond a strip that counts
		if to := c.less(state, w); to >= 0 {
			less = suffixes[to]
		}
		// What lies beyond a strip that gives g, and its toll. A strip that may give less
		// than g may neither count nor pay.
		beyond := func(g cut, sure bool) ([]int64, int64) {
			switch {
			case !sure:
				return rest, c.fee
			case c.counts(in, w, g):
				return less, c.fee
			}
			return rest, c.toll(in, w, g)
		}
		switch d := c.widths[i]; {
		case d.lo > d.hi:
		case w.spotted():
			c.raiseSpots(in, b, i, rest, beyond)
		case w.it.Random:
			c.raiseRange(in, b, i, rest, beyond)
		default:
			c.raiseFixed(in, b, i, rest, less, beyond)
		}
		if in.straight {
			c.raiseEdge(b, i, in, beyond)
		}
	}
}

// beyond gives what lies beyond a strip that gives g, nil if none is allowed, and what
// the strip pays. sure says that it gives no less than g.
type beyond func(g cut, sure bool) (rest []int64, toll int64)

// raiseFull lays strips that are clear from end to end and leave the quota as it is. Only
// those matter that are worth more than any narrower strip, since the entries beyond only
// fall.
func (c *ceiling) raiseFull(in *instance, b block, rest []int64) {
	all := c.full
	for ; len(all) > 1; all = all[2:] {
		c.tick(int64(b.to-b.from)/256 + 1)
		layTwo(all[0], all[1], b, rest, c.nearN, c.farFrom)
	}
	if len(all) > 0 {
		all[0].lay(b, rest, c.nearN, c.farFrom)
	}
	for i, w := range c.windows {
		c.slide(in, b, w, rest, &c.slides[i])
	}
}

// lay raises all entries from which a strip is clear from end to end.
func (f fullStrip) lay(b block, beyond []int64, from, to int) {
	from = max(from, b.from)
	if to = min(to-f.stops, b.to); to <= from {
		return
	}
	part, rest := b.l[from:to], beyond[from+f.stops:to+f.stops]
	for j, r := range rest {
		part[j] = max(part[j], r+f.worth)
	}
}

// layTwo lays two strips, the narrower one first, in one pass.
func layTwo(f, g fullStrip, b block, beyond []int64, from, to int) {
	from = max(from, b.from)
	both := min(to-g.stops, b.to)
	if both <= from {
		f.lay(b, beyond, from, to)
		return
	}
	part := b.l[from:both]
	r, q := beyond[from+f.stops:][:len(part)], beyond[from+g.stops:][:len(part)]
	for j, v := range part {
		part[j] = max(v, r[j]+f.worth, q[j]+g.worth)
	}
	f.lay(b, beyond, both, to)
}

// raiseFixed lays strips of a fixed width that raiseFull does not.
func (c *ceiling) raiseFixed(in *instance, b block, i int, rest, less []int64, beyond beyond) {
	w, d, l := &in.wants[i], c.widths[i].lo, b.l
	n := min(c.n-d, b.to)
	wider := c.widths[i].hi > d && (c.kept(w) || c.price[i] > 0)
	if wider {
		// A wider one within the tolerance may give too little beside the edge to
		// count or to pay.
		for j := max(c.farFrom-c.widths[i].hi, c.nearN, b.from); j < min(c.farFrom-d, n); j++ {
			l[j] = max(l[j], rest[c.farFrom]+c.up(w.worth(w.lo, w.full))-c.fee)
		}
	}
	if c.counts(in, w, w.full) && less != nil {
		fullStrip{d, c.up(w.worth(w.lo, w.full)), w}.lay(b, less, c.nearN, c.farFrom)
	}
	far := c.farWorth[i]
	if from := max(c.nearN, c.farFrom-d, b.from); from < n && !c.kept(w) {
		part, rest := l[from:n], rest[from+d:n+d]
		c.tick(int64(n-from)/128 + 1)
		for j, v := range far[from+d-c.farFrom:][:len(part)] {
			part[j] = max(part[j], rest[j]+v)
		}
	} else {
		c.tick(int64(max(n-from, 0))/stride + 1)
		for j := from; j < n; j++ {
			if r, _ := beyond(c.far[i][j+d-c.farFrom], !wider); r != nil {
				l[j] = max(l[j], r[j+d]+far[j+d-c.farFrom])
			}
		}
	}
	if in.straight {
		return
	}
	c.tick(int64(max(min(c.nearN, n)-b.from, 0))/stride + 1)
	for j := b.from; j < min(c.nearN, n); j++ {
		if g := c.end(i, j+d, c.near[i][j]); g.n > 0 {
			if r, toll := beyond(g, !wider && j+d < c.farFrom); r != nil {
				l[j] = max(l[j], r[j+d]+c.up(w.worth(w.lo, g))-toll)
			}
		}
	}
}

// raiseRange lays strips of a random width that raiseFull does not: if either end lies
// beside an edge, widths are tried one by one.
func (c *ceiling) raiseRange(in *instance, b block, i int, rest []int64, beyond beyond) {
	d := c.widths[i]
	if c.counts(in, &in.wants[i], in.wants[i].full) {
		if full, _ := beyond(in.wants[i].full, true); full != nil && c.farFrom-d.lo > c.nearN {
			c.slide(in, b, window{i, d.lo, d.hi}, full, &c.slides[len(c.windows)+i])
		}
	}
	for _, open := range c.beside {
		if open.want != i {
			continue
		}
		if !in.straight {
			for j := b.from; j < min(c.nearN, b.to); j++ {
				c.poll(j)
				if c.nearTop[i][j]+rest[min(j+open.lo, c.n)]-c.fee > b.l[j] {
					c.raiseEach(in, b.l, i, j, j+open.lo, j+open.hi, rest, beyond, func(q int) (cut, bool) { return c.end(i, q, c.near[i][j]), q < c.farFrom })
				}
			}
		}
		c.raiseFar(in, b, open, rest, beyond)
	}
}

// raiseFar is raiseRange for strips of open widths that end beside the far edge. Most
// entries are skipped by one bound for all, that of the longest strip, which falls with
// the width that is left up to the end.
func (c *ceiling) raiseFar(in *instance, b block, open window, rest []int64, beyond beyond) {
	i, w := open.want, &in.wants[open.want]
	j, end := max(c.nearN, c.farFrom-open.hi, b.from), min(c.n-open.lo, b.to)
	if j >= end {
		return
	}
	first := max(j+open.lo, c.farFrom)
	g := c.far[i][first-c.farFrom]
	most, less := rest[first]+c.up(w.worth(min(int64(open.hi)*in.step-in.kerf, w.hi), g)), int64(0)
	if w.byWidth() {
		less = c.down(in.slope(w, g))
	}
	c.tick(int64(end-j)/stride + 1)
	for ; j < end; j++ {
		if most-less*int64(max(j+open.hi-c.n+1, 0))-c.fee > b.l[j] {
			c.raiseEach(in, b.l, i, j, max(j+open.lo, c.farFrom), j+open.hi, rest, beyond, func(q int) (cut, bool) { return c.far[i][q-c.farFrom], true })
		}
	}
}

// raiseSpots lays strips of a want that refuses some defect.
func (c *ceiling) raiseSpots(in *instance, b block, i int, rest []int64, beyond beyond) {
	d := c.widths[i]
	for j := b.from; j < min(c.n-d.lo, b.to); j++ {
		c.poll(j)
		if c.height(in, j)+in.kerf < in.outerLo {
			continue
		}
		c.raiseEach(in, b.l, i, j, j+d.lo, j+d.hi, rest, beyond, func(q int) (cut, bool) { return c.spot(i, j, q), d.lo == d.hi })
	}
}

// raiseEach lays strips from entry j to the entries from first to last. gives bounds what
// they give, no less for narrower ones, and says whether that is exact. It goes from the
// widest down, in blocks that are skipped if their widest, longest and best together fall
// short.
func (c *ceiling) raiseEach(in *instance, l []int64, i, j, first, last int, rest []int64, beyond beyond, gives func(q int) (cut, bool)) {
	const block = 16
	w := &in.wants[i]
	last = min(last, c.n-1)
	width := func(q int) int64 { return min(int64(q-j)*in.step-in.kerf, w.hi) }
	short := func(lo, hi int) bool {
		g, _ := gives(lo)
		return g.n == 0 || rest[lo]+c.up(w.worth(width(hi), g))-c.fee <= l[j]
	}
	if first > last || short(first, last) {
		return
	}
	for hi := last; hi >= first; hi -= block {
		lo := max(hi-block+1, first)
		c.poll(hi / block)
		if short(lo, hi) {
			continue
		}
		c.tick(1)
		for q := hi; q >= lo; q-- {
			if g, sure := gives(q); g.n > 0 {
				if r, toll := beyond(g, sure); r != nil {
					l[j] = max(l[j], r[q]+c.up(w.worth(width(q), g))-toll)
				}
			}
		}
	}
}

// raiseEdge serves the blades that stand beyond a straight edge, which bounds their
// pocket in their place.
func (c *ceiling) raiseEdge(b block, i int, in *instance, beyond beyond) {
	if b.from >= c.nearN {
		return
	}
	w := &in.wants[i]
	best := int64(0)
	from, to := c.edgeSpan(in, w)
	for q := from; q < to; q++ {
		c.poll(q)
		if g := c.edge[i][q]; g.n > 0 {
			if r, toll := beyond(g, true); r != nil {
				best = max(best, r[q]+c.up(w.worth(c.height(in, q), g))-toll)
			}
		}
	}
	for j := b.from; j < min(c.nearN, b.to); j++ {
		b.l[j] = max(b.l[j], best)
	}
}
