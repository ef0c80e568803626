package rip

import (
	"slices"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/unit"
)

// build makes the levels for 0 to m further blades. It reports false when the
// search was stopped.
func (c *ceiling) build(s *search, m int) bool {
	zero := c.longs.take(c.n + 1)
	for range c.states {
		c.level, c.suffix = append(c.level, zero), append(c.suffix, zero)
	}
	for k := 1; k <= m; k++ {
		if !s.spend(int64(c.states*c.n/8 + 1)) {
			return false
		}
		same := true
		for state := range c.states {
			below := c.level[(k-1)*c.states+state]
			l := c.raise(s.in, k, state)
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

// raise gives level k for one state. The entries beyond a strip are read from
// the suffix, as if the next blade could stand still further out for nothing.
func (c *ceiling) raise(in *instance, k, state int) []int64 {
	l := c.longs.take(c.n + 1)
	rest := c.suffix[(k-1)*c.states+state]
	// Where k strips have no room, the kth blade is no use.
	room := in.outerHi - c.lo - int64(k)*(c.narrowest+in.kerf)
	end := int(min(max(unit.FloorDiv(room, in.step)+1, 0), int64(c.n)))
	copy(l[end:], c.level[(k-1)*c.states+state][end:])
	if spread := int(unit.CeilDiv(in.kerf+in.gap, in.step)); spread < c.n {
		copy(l[:end], rest[spread:])
	}
	for i := range in.wants {
		w := &in.wants[i]
		var less []int64 // beyond a strip that counts
		if to := c.less(state, w); to >= 0 {
			less = c.suffix[(k-1)*c.states+to]
		}
		beyond := func(n int64) []int64 {
			if c.counts(in, w, n) {
				return less
			}
			return rest
		}
		da := int(unit.CeilDiv(in.kerf+w.lo, in.step))
		db := int(unit.FloorDiv(in.kerf+w.hi, in.step))
		switch {
		case da > db:
		case w.it.Random:
			c.raiseRange(in, l[:end], i, da, db, rest, beyond)
		default:
			c.raiseFixed(in, l[:end], i, da, beyond)
		}
		if in.straight {
			c.raiseEdge(in, l[:end], i, beyond)
		}
	}
	return l
}

// raiseFixed lays strips of a fixed width, ending d entries on, over level l.
func (c *ceiling) raiseFixed(in *instance, l []int64, i, d int, beyond func(int64) []int64) {
	w := &in.wants[i]
	full := beyond(in.length)
	lay := func(j int, n int64) {
		if r := beyond(n); n > 0 && r != nil {
			l[j] = max(l[j], r[j+d]+c.up(w.worth(int64(w.it.Min), n)))
		}
	}
	n := min(c.n-d, len(l))
	if end := min(c.farFrom-d, n); full != nil && end > c.nearN {
		v := c.up(w.worth(int64(w.it.Min), in.length))
		to, from := l[c.nearN:end], full[c.nearN+d:end+d]
		for j, r := range from {
			to[j] = max(to[j], r+v)
		}
	}
	for j := max(c.nearN, c.farFrom-d); j < n; j++ {
		lay(j, c.far[i][j+d-c.farFrom])
	}
	if in.straight {
		return
	}
	for j := range min(c.nearN, n) {
		n := c.near[i][j]
		if q := j + d - c.farFrom; q >= 0 {
			n = min(n, c.far[i][q])
		}
		lay(j, n)
	}
}

// raiseRange lays strips of a random width, ending da to db entries on.
func (c *ceiling) raiseRange(in *instance, l []int64, i, da, db int, rest []int64, beyond func(int64) []int64) {
	w := &in.wants[i]
	full := beyond(in.length)
	if full != nil && c.farFrom-da > c.nearN {
		c.slide(in, l, w, da, db, full)
	}
	width := func(d int) int64 { return min(int64(d)*in.step-in.kerf, w.hi) }
	// Where either end lies beside an edge: from the widest down, in blocks that
	// are passed over when their widest, longest and best together fall short.
	const block = 16
	some := func(j, from, to int, most int64) {
		if from > to || rest[from]+c.up(w.worth(width(to-j), most)) <= l[j] {
			return
		}
		for hi := to; hi >= from; hi -= block {
			lo := max(hi-block+1, from)
			n := most
			if lo >= c.farFrom {
				n = min(n, c.far[i][lo-c.farFrom])
			}
			if n == 0 || rest[lo]+c.up(w.worth(width(hi-j), n)) <= l[j] {
				continue
			}
			for q := hi; q >= lo; q-- {
				n := most
				if q >= c.farFrom {
					n = min(n, c.far[i][q-c.farFrom])
				}
				if r := beyond(n); n > 0 && r != nil {
					l[j] = max(l[j], r[q]+c.up(w.worth(width(q-j), n)))
				}
			}
		}
	}
	if !in.straight {
		for j := range min(c.nearN, len(l)) {
			some(j, j+da, min(j+db, c.n-1), c.near[i][j])
		}
	}
	for j := max(c.nearN, c.farFrom-db); j < min(c.n-da, len(l)); j++ {
		from := max(j+da, c.farFrom)
		some(j, from, min(j+db, c.n-1), c.far[i][from-c.farFrom])
	}
}

// slide lays full-length strips of a random width. Their worth grows by the
// same amount from one width to the next, so it is the greatest entry of a
// sliding window that counts; it is taken from prefixes and suffixes of blocks
// as long as the window (van Herk 1992, Gil and Werman 1993).
func (c *ceiling) slide(in *instance, l []int64, w *want, da, db int, full []int64) {
	base, each := c.up(w.worth(int64(da)*in.step-in.kerf, in.length)), int64(0)
	if w.it.Basis == order.PerArea {
		each = c.up(w.worth(in.step, in.length))
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
	for j := c.nearN; j < min(c.farFrom-da, len(l)); j++ {
		best := max(right[j+da], left[j+db])
		l[j] = max(l[j], base+best-int64(j+da)*each)
	}
}

// raiseEdge serves the blades that stand beyond a straight edge, which bounds
// their pocket in their place.
func (c *ceiling) raiseEdge(in *instance, l []int64, i int, beyond func(int64) []int64) {
	w := &in.wants[i]
	lo := int(unit.CeilDiv(w.lo-c.lo, in.step))
	hi := min(int(unit.FloorDiv(w.hi-c.lo, in.step)), c.n-1)
	best := int64(0)
	for q := lo; q <= hi; q++ {
		n := in.length
		if q >= c.farFrom {
			n = c.far[i][q-c.farFrom]
		}
		if r := beyond(n); n > 0 && r != nil {
			best = max(best, r[q]+c.up(w.worth(c.lo+int64(q)*in.step, n)))
		}
	}
	for j := range min(c.nearN, len(l)) {
		l[j] = max(l[j], best)
	}
}
