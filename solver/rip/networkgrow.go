package rip

import "slices"

// grow builds the network of all cuttings worth at least need. It reports false
// when the search was stopped.
func (t *network) grow(need int64) bool {
	t.reset(need)
	last := len(t.in.blades) - 1
	for i := range t.layers {
		l := &t.layers[i]
		if i < last && !t.begin(i) {
			return false
		}
		if t.in.straight {
			t.fromEdge(i)
		}
		if i > 0 {
			for _, from := range [2][]int32{t.layers[i-1].ended, t.layers[i-1].begun} {
				for _, x := range from {
					if !t.s.spend(int64(len(t.in.wants))/4+1) || t.overfull {
						return false
					}
					t.strips(i, x)
				}
			}
		}
		l.ended, l.begun = t.gather(ended, l.ended), t.gather(begun, l.begun)
		if t.beam > 0 {
			t.thin(i, l)
		}
		t.group(l)
		for _, x := range l.ended {
			if t.nodes[x].coarse+t.nodes[x].paid-t.c.back >= t.need { // or not all cuttings that good are there
				t.ends = append(t.ends, x)
			}
		}
	}
	return t.s.ended == NoLimit && !t.overfull
}

// begin makes the nodes of blade i that begin a strip after none.
func (t *network) begin(i int) bool {
	in, c := t.in, t.c
	k := len(in.blades) - 1 - i
	lo, hi := t.window(i)
	if in.straight {
		lo = max(lo, in.stopDown(-in.kerf)+in.step) // the edge bounds the pocket before that
	}
	place := func(from int64, n node, a arc, use func() int32) bool {
		level, suffix := c.level[k*c.states+int(n.state)], c.suffix[k*c.states+int(n.state)]
		need := t.need - n.coarse
		first, last := t.ceilIndex(max(lo, from)), t.floorIndex(hi)
		if t.beam > 0 {
			first, last = t.bestStart(level, first, last)
		}
		for q := first; q <= last && suffix[q] >= need; q++ {
			if level[q] < need {
				continue
			}
			if !t.s.spend(1) {
				return false
			}
			m := n
			m.a = c.lo + int64(q)*in.step
			m.score.blades += t.s.stand(i, m.a).blades
			a.skip = use()
			t.add(begun, m, a)
		}
		return true
	}
	if !place(lo, node{j: int16(i), score: score{blades: t.leads[i]}, state: int32(c.states - 1)},
		arc{from: -1, want: noWant}, func() int32 { return -1 }) {
		return false
	}
	for j := range i {
		for g := range t.layers[j].groups {
			g := &t.layers[j].groups[g]
			x := &t.nodes[g.nodes[0]]
			n := node{j: int16(i), score: g.score, coarse: x.coarse, paid: x.paid, used: x.used, state: x.state, kind: x.kind}
			n.score.blades += int64(i-j-1) * min(in.kerf, 1)
			number := int32(-1)
			use := func() int32 {
				if number < 0 {
					number = int32(len(t.skips))
					t.skips = append(t.skips, skip{from: j, to: i, nodes: g.nodes})
				}
				return number
			}
			if !place(x.a+int64(i-j)*t.spread, n, arc{from: -1, want: noWant}, use) {
				return false
			}
		}
	}
	return true
}

// fromEdge makes the nodes of blade i that end a strip which a straight edge
// begins, all blades before it standing beyond the edge.
func (t *network) fromEdge(i int) {
	if !t.shut[i] {
		return
	}
	lo, hi := t.window(i)
	n := node{j: int16(i), state: int32(t.c.states - 1)}
	for k := range t.in.wants {
		w := &t.in.wants[k]
		for q := max(t.in.stopUp(w.lo), lo); q <= min(t.in.stopDown(w.hi), hi); q += t.in.step {
			t.strip(n, arc{from: -1, skip: -1, want: int16(k)}, w, fenceFace, q)
		}
	}
}

// strips makes the nodes of blade i that end a strip begun at node x.
func (t *network) strips(i int, x int32) {
	in, c := t.in, t.c
	n := t.nodes[x]
	n.j = int16(i)
	face := n.a + in.kerf
	at := (len(in.blades)-1-i)*c.states + int(n.state)
	level, suffix := c.level[at], c.suffix[at]
	at = c.index(in, n.a)
	lo, hi := t.window(i)
	first, last := t.ceilIndex(max(lo, n.a+t.spread)), t.floorIndex(min(hi, in.outerHi))
	for k := range in.wants {
		w := &in.wants[k]
		from, to := max(first, at+c.widths[k].lo), min(last, at+c.widths[k].hi)
		if from > to {
			continue
		}
		a := arc{from: x, skip: -1, want: int16(k)}
		if t.beam > 0 {
			from, to = t.bestEnd(k, n.a, level, from, to)
		}
		try := func(q int, g cut, sure bool) {
			toll := int64(0)
			if sure {
				toll = c.toll(in, w, g)
			}
			if y := c.height(in, q); g.n > 0 && n.coarse+level[q]+c.up(w.worth(y-face, g))-toll >= t.need {
				t.strip(n, a, w, face, y)
			}
		}
		if len(w.refused) > 0 {
			for q := to; q >= from; q-- {
				try(q, c.spot(k, at, q), c.widths[k].lo == c.widths[k].hi)
			}
			continue
		}
		start := w.full
		if at < c.nearN {
			start = c.near[k][at]
		}
		for ; to >= from && to >= c.farFrom; to-- {
			try(to, c.end(k, to, start), at >= c.nearN)
		}
		if to < from || start.n == 0 {
			continue
		}
		need := t.need - n.coarse - c.up(w.worth(c.height(in, to)-face, start)) + c.toll(in, w, start)
		less := int64(0) // worth that a range loses from one stop to the one before
		if w.byWidth() {
			less = c.down(w.worth(in.step, start))
		}
		most := suffix[from]
		for q := to; q >= from && need <= most; q-- {
			if level[q] >= need {
				t.strip(n, a, w, face, c.height(in, q))
			}
			need += less
		}
	}
}

// strip makes the node at which a strip of want w from face to q ends.
func (t *network) strip(n node, a arc, w *want, face, q int64) {
	if !t.s.spend(1) {
		return
	}
	st, ok := t.s.strip(w, face, q)
	if !ok {
		return
	}
	k := len(t.in.blades) - 1 - int(n.j)
	n.a = q
	n.score = n.score.plus(st.score)
	n.paid += t.c.paid(w, st.amount)
	n.coarse = t.c.up(n.score.worth) - n.paid
	if n.coarse+t.c.over(t.in, k, int(n.state), q) < t.need {
		return
	}
	before := n.used
	if n.used, ok = t.table.with(before, w, st.amount); !ok {
		return
	}
	if n.used != before {
		n.state = int32(t.c.state(t.in, t.table.of(n.used)))
		if n.coarse+t.c.over(t.in, k, int(n.state), q) < t.need {
			return
		}
	}
	n.score.blades += t.s.stand(int(n.j), q).blades
	n.kind = t.s.marked(n.kind, w)
	if all := n.coarse + n.paid; all > t.most {
		t.most = all
		if t.rising {
			t.need = max(t.need, all-t.c.back)
		}
	}
	t.add(ended, n, a)
}

// group sorts a blade's ended nodes into groups.
func (t *network) group(l *stratum) {
	clear(t.byGroup)
	of := t.small.take(len(l.ended))
	for i, x := range l.ended {
		n := &t.nodes[x]
		k := groupKey{n.score, n.used, n.kind}
		g, ok := t.byGroup[k]
		if !ok {
			g = int32(len(l.groups))
			t.byGroup[k] = g
			l.groups = append(l.groups, group{groupKey: k})
		}
		of[i] = g
	}
	size := t.small.take(len(l.groups))
	for _, g := range of {
		size[g]++
	}
	for g := range l.groups {
		l.groups[g].nodes = t.small.take(int(size[g]))[:0]
	}
	for i, x := range l.ended {
		g := &l.groups[of[i]]
		g.nodes = append(g.nodes, x)
	}
}

// final gives the score of a cutting that ends at node x, travel left out.
func (t *network) final(x int32) score {
	sc := t.nodes[x].score
	sc.blades += t.trails[t.nodes[x].j]
	return sc
}

// goal is the best score of the cuttings of one kind.
type goal struct {
	kind  kind
	score score
	ends  []int32
}

// goals lists the kinds of cuttings, best first.
func (t *network) goals() []goal {
	at := map[kind]int{}
	var all []goal
	for _, x := range t.ends {
		sc, k := t.final(x), t.nodes[x].kind
		i, ok := at[k]
		if !ok {
			i = len(all)
			at[k] = i
			all = append(all, goal{kind: k, score: sc})
		}
		g := &all[i]
		if c := sc.cmp(&g.score); c > 0 {
			g.score, g.ends = sc, append(g.ends[:0], x)
		} else if c == 0 {
			g.ends = append(g.ends, x)
		}
	}
	slices.SortStableFunc(all, func(a, b goal) int { return -a.score.cmp(&b.score) })
	return all
}
