package rip

// alike gives how many of the nodes, from the first on, stand a stop apart and differ in
// nothing else. If the board is clear, what they begin is alike too.
func (t *network) alike(nodes []int32) int {
	n := t.nodes.at(nodes[0])
	for i, x := range nodes[1:] {
		t.s.poll(i)
		m := t.nodes.at(x)
		if m.a != n.a+int64(i+1)*t.in.step || m.used != n.used || m.paid != n.paid || m.kind != n.kind || m.score != n.score {
			return i + 1
		}
	}
	return len(nodes)
}

// beginning is a run of nodes, a stop apart and alike, at which strips begin, and the
// entries at which these can end.
type beginning struct {
	run           []int32
	node                  // the first
	at            int     // its entry
	first, last   int     // entries at which blade i can stand
	nearest       int     // stops from one blade to the next
	level, suffix []int64 // beyond a strip that leaves the quota as it is
}

// strips makes the nodes of blade i that end a strip begun at one of a run of alike
// nodes.
func (t *network) strips(i int, run []int32) {
	in, c := t.in, t.c
	b := beginning{run: run, node: *t.nodes.at(run[0]), nearest: int(t.spread / in.step)}
	b.j = int16(i)
	b.at = c.index(in, b.a)
	over := (len(in.blades)-1-i)*c.states + int(b.state)
	b.level, b.suffix = c.level[over], c.suffix[over]
	lo, hi := t.window(i)
	b.first, b.last = t.ceilIndex(lo), t.floorIndex(min(hi, in.outerHi))
	if t.beam > 0 {
		t.bestStrips(&b)
		return
	}
	for k := range in.wants {
		// What is beyond a strip only falls with its width.
		t.s.tick(1)
		d := c.widths[k]
		from := max(b.first, b.at+max(b.nearest, d.lo))
		if from > b.last || b.coarse+c.tops[k]+b.suffix[from] < t.need {
			continue
		}
		plain, from := in.wants[k].plain(), b.at
		if plain {
			from = max(b.at, c.nearN)
			t.clearStrips(&b, k)
		}
		for x := range run {
			t.s.poll(x)
			at := b.at + x
			if at < from || !plain {
				t.eachStrip(&b, x, k, 0)
			} else if at+d.hi >= c.farFrom {
				t.eachStrip(&b, x, k, c.farFrom)
			}
		}
	}
}

// clearStrips makes those of plain want k that are clear from end to end, width by width:
// they are the same from all places.
func (t *network) clearStrips(b *beginning, k int) {
	in, c := t.in, t.c
	w, d := &in.wants[k], c.widths[k]
	from, to := max(b.at, c.nearN), b.at+len(b.run)-1
	last := min(b.last, c.farFrom-1)
	need := t.need - b.coarse - c.up(w.worth(int64(d.hi)*in.step-in.kerf, w.full)) + c.toll(in, w, w.full)
	less := int64(0) // worth that a range loses from one stop to the one before
	if w.byWidth() {
		less = c.down(in.slope(w, w.full))
	}
	least := max(d.lo, b.nearest)
	first := max(from+least, b.first)
	for n := d.hi; n >= least && first <= last && need <= b.suffix[first]; n-- {
		t.s.poll(n)
		if q := max(from+n, b.first); q <= min(to+n, last) && b.suffix[q] >= need {
			t.clearStrip(b, k, n, need, q, min(to+n, last))
		}
		need += less
	}
}

// clearStrip makes those that are n stops wide and end at entries from to to, where what
// is beyond must be worth at least need.
func (t *network) clearStrip(b *beginning, k, n int, need int64, from, to int) {
	in, c := t.in, t.c
	w := &in.wants[k]
	for ; b.level[from] < need; from++ {
		t.s.poll(from)
		if from == to || b.suffix[from] < need {
			return
		}
	}
	m, y := b.node, c.height(in, from)
	if !t.end(&m, w, y-int64(n)*in.step+in.kerf, y) {
		return
	}
	over := (len(in.blades)-1-int(m.j))*c.states + int(m.state)
	level, suffix := c.level[over], c.suffix[over]
	need = t.need - m.coarse
	blades := m.score.Blades
	t.meet(&m)
	for q := from; q <= to && suffix[q] >= need; q++ {
		if level[q] < need {
			t.s.poll(q)
			continue
		}
		if !t.s.spend(1) {
			return
		}
		m.a, m.score.Blades = c.height(in, q), blades+t.cuts(q)
		t.add(ended, &m, arc{from: b.run[q-n-b.at], skip: -1, want: int16(k)})
	}
}

// eachStrip makes the strips of want k that begin at node x of the run and end at or
// beyond an entry, one by one. For a plain want this is beside an edge.
func (t *network) eachStrip(b *beginning, x, k, least int) {
	in, c := t.in, t.c
	w, d := &in.wants[k], c.widths[k]
	at := b.at + x
	from, to := max(b.first, at+max(b.nearest, d.lo), least), min(b.last, at+d.hi)
	if from > to {
		return
	}
	if b.coarse+c.tops[k]+b.suffix[from] < t.need {
		return
	}
	start := w.full
	if at < c.nearN && !w.spotted() {
		if start = c.near[k][at]; start.n == 0 {
			return
		}
	}
	need := t.need - b.coarse - c.up(w.worth(c.height(in, to)-c.height(in, at)-in.kerf, start))
	less := int64(0) // worth that a range loses from one stop to the one before
	if w.byWidth() {
		less = c.down(in.slope(w, start))
	}
	t.s.tick(1)
	for q := to; q >= from && need <= b.suffix[from]; q-- {
		t.s.poll(q)
		if b.level[q] >= need {
			t.tryStrip(b, x, k, q, start)
		}
		need += less
	}
}

// tryStrip makes the strip of want k that begins at node x of the run and ends at entry
// q, if by the ceiling it can reach what is needed. start is the cut of strips from there
// that are clear at their end.
func (t *network) tryStrip(b *beginning, x, k, q int, start cut) {
	in, c := t.in, t.c
	w, at := &in.wants[k], b.at+x
	g, sure := start, true // that the strip gives no less
	switch {
	case w.spotted():
		g, sure = c.spot(k, at, q), c.widths[k].lo == c.widths[k].hi
	case q >= c.farFrom:
		g, sure = c.end(k, q, start), at >= c.nearN
	}
	toll := int64(0)
	if sure {
		toll = c.toll(in, w, g)
	}
	n := b.node
	n.a = c.height(in, at)
	face, y := n.a+in.kerf, c.height(in, q)
	if g.n > 0 && b.coarse+b.level[q]+c.up(w.worth(y-face, g))-toll >= t.need {
		t.strip(n, arc{from: b.run[x], skip: -1, want: int16(k)}, w, face, y)
	}
}

// strip makes the node at which a strip of want w from face to q ends.
func (t *network) strip(n node, a arc, w *want, face, q int64) {
	if !t.s.spend(1) {
		return
	}
	if !t.end(&n, w, face, q) || n.coarse+t.c.over(t.in, len(t.in.blades)-1-int(n.j), int(n.state), q) < t.need {
		return
	}
	n.score.Blades += t.s.stand(int(n.j), q).Blades
	t.meet(&n)
	t.add(ended, &n, a)
}

// end makes a node the one at which a strip of want w from face to q ends, without
// counting whether the blade cuts wood there. It reports false if there is no such strip.
func (t *network) end(n *node, w *want, face, q int64) bool {
	st, ok := t.s.strip(w, face, q)
	if !ok {
		return false
	}
	n.a = q
	n.score.Add(&st.score)
	n.paid += t.c.paid(w, st.amount)
	n.coarse = t.c.up(n.score.Worth) - n.paid
	before := n.used
	if n.used, ok = t.table.with(before, w, st.amount); !ok {
		return false
	}
	if n.used != before {
		n.state = int32(t.c.state(t.in, t.table.of(n.used)))
	}
	n.kind = t.s.marked(n.kind, w)
	return true
}

// meet records the worth of a node's cutting.
func (t *network) meet(n *node) {
	if all := n.coarse + n.paid; all > t.most {
		t.most = all
		if t.rising {
			t.need = max(t.need, all-t.c.back)
		}
	}
}
