package rip

import "unsafe"

// grow builds the network of all cuttings worth at least need. It reports false if the
// search was stopped.
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
				for len(from) > 0 {
					n := t.alike(from)
					if !t.s.spend(int64(len(t.in.wants))/4+1) || t.overfull {
						return false
					}
					t.strips(i, from[:n])
					from = from[n:]
				}
			}
		}
		l.ended, l.begun = t.gather(ended, l.ended), t.gather(begun, l.begun)
		if t.beam > 0 {
			t.thin(i, l)
		}
		t.group(l)
		for _, x := range l.ended {
			if t.nodes.at(x).coarse+t.nodes.at(x).paid-t.c.back >= t.need { // otherwise not all equally good cuttings are there
				t.ends = append(t.ends, x)
			}
		}
	}
	return !t.s.over() && !t.overfull
}

// begin makes the nodes of blade i that begin a strip after none.
func (t *network) begin(i int) bool {
	in, c := t.in, t.c
	lo, hi := t.window(i)
	if in.straight {
		lo = max(lo, in.stopDown(-in.kerf)+in.step) // the edge bounds the pocket before that
	}
	first, last := t.ceilIndex(lo), t.floorIndex(hi)
	n := node{j: int16(i), score: score{Blades: t.leads[i]}, state: int32(c.states - 1)}
	t.place(n, arc{from: -1, skip: -1, want: noWant}, first, last)
	for j := range i {
		for g := range t.layers[j].groups {
			g := &t.layers[j].groups[g]
			x := t.nodes.at(g.nodes[0])
			n := node{j: int16(i), score: g.score, coarse: x.coarse, paid: x.paid, used: x.used, state: x.state, kind: x.kind}
			n.score.Blades += int64(i-j-1) * min(in.kerf, 1)
			a := arc{from: -1, skip: int32(len(t.skips)), want: noWant}
			if t.place(n, a, max(first, t.ceilIndex(x.a+int64(i-j)*t.spread)), last) {
				t.s.growing.skips.to(t.s.budget, len(t.skips)+1, 2*unsafe.Sizeof(skip{})) // and again if a goal has it
				t.skips = append(t.skips, skip{from: j, to: i, nodes: g.nodes})
			}
		}
	}
	return !t.s.over()
}

// place makes nodes that begin a strip, alike except for their place. It reports whether
// there are any.
func (t *network) place(n node, a arc, from, to int) (placed bool) {
	c := t.c
	at := (len(t.in.blades)-1-int(n.j))*c.states + int(n.state)
	level, suffix := c.level[at], c.suffix[at]
	if t.beam > 0 {
		from, to = t.bestStart(level, from, to)
	}
	need, blades := t.need-n.coarse, n.score.Blades
	for q := from; q <= to && suffix[q] >= need; q++ {
		if level[q] < need {
			t.s.poll(q)
			continue
		}
		if !t.s.spend(1) {
			break
		}
		n.a, n.score.Blades = c.height(t.in, q), blades+t.cuts(q)
		t.add(begun, &n, a)
		placed = true
	}
	return placed
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
