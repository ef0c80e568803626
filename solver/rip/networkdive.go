package rip

import "slices"

// beamNodes is how many nodes of a blade a dive continues from, and beamAlike how many of
// them may use the caps alike: those that differ only in height have the same results.
const (
	beamNodes = 100
	beamAlike = 4
)

// dive looks for a good cutting quickly and gives its coarse worth, or 0: in the network
// of only the best nodes of each blade.
func (t *network) dive() int64 {
	t.beam = beamNodes
	t.grow(0)
	t.beam = 0
	return t.most
}

// bestStart gives the entry, as first and last, from which most can follow; of equally
// good ones the last, which is not just before a better one.
func (t *network) bestStart(level []int64, first, last int) (int, int) {
	at := first
	for q := first; q <= last; q++ {
		t.s.poll(q)
		if level[q] >= level[at] {
			at = q
		}
	}
	return at, min(at, last)
}

// bestEnd gives the entry at which a strip of want k from entry i ends best.
func (t *network) bestEnd(k, i int, level []int64, first, last int) int {
	c, w := t.c, &t.in.wants[k]
	at, most := first, int64(never)
	for q := first; q <= last; q++ {
		t.s.poll(q)
		g := c.gives(t.in, k, i, q)
		if g.n == 0 {
			continue
		}
		if v := level[q] + c.up(w.worth(int64(q-i)*t.in.step-t.in.kerf, g)); v > most {
			at, most = q, v
		}
	}
	return at
}

// bestStrips makes the best strip of each want from each node of a run.
func (t *network) bestStrips(b *beginning) {
	c := t.c
	for x := range b.run {
		at := b.at + x
		for k := range t.in.wants {
			t.s.tick(1)
			d := c.widths[k]
			first, last := max(b.first, at+max(b.nearest, d.lo)), min(b.last, at+d.hi)
			if first > last {
				continue
			}
			start := t.in.wants[k].full
			if at < c.nearN && !t.in.wants[k].spotted() {
				start = c.near[k][at]
			}
			t.tryStrip(b, x, k, t.bestEnd(k, at, b.level, first, last), start)
		}
	}
}

// thin keeps the nodes of blade i with the best bound.
func (t *network) thin(i int, l *stratum) {
	if len(l.ended)+len(l.begun) <= t.beam {
		return
	}
	k := len(t.in.blades) - 1 - i
	bound := func(x int32) int64 {
		t.s.tick(1)
		n := t.nodes.at(x)
		return n.coarse + t.c.over(t.in, k, int(n.state), n.a)
	}
	all := append(slices.Clone(l.ended), l.begun...)
	slices.SortStableFunc(all, func(a, b int32) int { return sign(bound(b) - bound(a)) })
	alike, keep := map[int32]int{}, map[int32]bool{}
	for _, x := range all {
		if u := t.nodes.at(x).used; alike[u] < beamAlike && len(keep) < t.beam {
			alike[u]++
			keep[x] = true
		}
	}
	out := func(x int32) bool { return !keep[x] }
	l.ended, l.begun = slices.DeleteFunc(l.ended, out), slices.DeleteFunc(l.begun, out)
}
