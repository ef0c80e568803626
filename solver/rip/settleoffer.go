package rip

import (
	"slices"
	"unsafe"
)

// offer writes out the cutting with the least travel at the fence found, the first in
// order among equals, and offers it to the pool. The web is that of all the goal's
// cuttings.
func (t *settler) offer(g *goal, w *web) {
	f := fences{t.fence, t.fence}
	t.pass(w, f)
	n := t.nodes.n
	t.s.growing.marks.to(t.s.budget, n, unsafe.Sizeof(t.to[0])+unsafe.Sizeof(path{}))
	t.to, t.ways = slices.Grow(t.to[:0], n)[:n], slices.Grow(t.ways[:0], n)[:n]
	for x, at := range w.at {
		t.s.poll(x)
		t.to[at], t.ways[at] = w.to[x].lo, path{}
	}
	var best path
	away := t.away(f).lo
	for _, x := range t.ends {
		t.s.tick(1)
		j, a := int(t.nodes.at(x).j), t.nodes.at(x).a
		if t.to[x] >= unreached || !t.canTrail(j, f) || t.to[x]+t.trail(j, a, f).lo+away != t.travel {
			continue
		}
		p := t.again(t.upTo(x, f))
		for m := j + 1; m < len(p.blades); m++ {
			p.blades[m] = max(t.rests[m], t.trailFrom(m, j, a)+f.lo)
		}
		p.before(&best)
	}
	sc := g.score
	sc.Travel = t.travel
	t.s.pool.offer(sc, f.lo, &best, g.kind)
}

// upTo gives the first in order of the shortest ways to node x. Ways to one node continue
// alike, so the first of them is part of the first cutting.
func (t *settler) upTo(x int32, f fences) *path {
	if p := &t.ways[x]; p.blades != nil {
		return p
	}
	var best path
	n := t.nodes.at(x)
	j := int(n.j)
	goal := t.to[x] - t.own(j, n.a, f).lo
	var strip *path // the first of the ways by a strip; its item is the last to differ
	item := int16(noWant)
	for k := n.arcs; k >= 0; k = t.arcs.at(k).next {
		t.s.tick(1)
		switch a := t.arcs.at(k); {
		case a.from >= 0:
			if t.to[a.from] != goal {
				continue
			}
			p := t.upTo(a.from, f)
			if strip != nil {
				if c := p.cmp(strip); c > 0 || c == 0 && a.want > item {
					continue
				}
			}
			strip, item = p, a.want
		case a.skip >= 0:
			p := t.upToSkip(&t.skips[a.skip], n.a, goal, f)
			if p.blades != nil {
				p.blades[j] = n.a + f.lo
				p.before(&best)
			}
		default:
			k := t.leading(j, a)
			if !t.canLead(k, f) || t.lead(j, k, n.a, f).lo != goal {
				continue
			}
			p := t.blank()
			for m := range j {
				p.blades[m] = min(t.rests[m], t.leadTo(m, j, k, n.a)+f.lo)
			}
			p.blades[j] = n.a + f.lo
			if a.want != noWant {
				p.wants[t.pocket(j)] = a.want
			}
			p.before(&best)
		}
	}
	if strip != nil {
		p := t.again(strip)
		p.wants[t.pocket(j)] = item
		p.blades[j] = n.a + f.lo
		p.before(&best)
	}
	t.ways[x] = best
	return &t.ways[x]
}

// upToSkip gives the first in order of the shortest ways by a skip to a node at q.
func (t *settler) upToSkip(k *skip, q, goal int64, f fences) (best path) {
	least := t.leastOver(k) + t.pushIn(k.from, k.to, q, f).lo
	for _, y := range k.nodes {
		t.s.tick(1)
		a := t.nodes.at(y).a
		if a+int64(k.to-k.from)*t.spread > q {
			break
		}
		if !t.used[y] || t.to[y]+least+t.pushOut(k.from, k.to, a, f).lo != goal {
			continue
		}
		p := t.again(t.upTo(y, f))
		for m := k.from + 1; m < k.to; m++ {
			x := max(t.rests[m], a+int64(m-k.from)*t.spread+f.lo)
			p.blades[m] = min(x, q-int64(k.to-m)*t.spread+f.lo)
		}
		p.before(&best)
	}
	return best
}

// pocket is the index of the pocket before blade j.
func (t *settler) pocket(j int) int {
	if t.in.straight {
		return j
	}
	return j - 1
}

// before replaces best by p if p comes before it, or if best is empty.
func (p *path) before(best *path) {
	if best.blades == nil || p.cmp(best) < 0 {
		*best = *p
	}
}

// blank gives an empty path of the settler.
func (t *settler) blank() path {
	p := path{t.room.blades.take(len(t.in.blades)), t.room.wants.take(len(t.s.pathA.wants))}
	for i := range p.wants {
		p.wants[i] = noWant
	}
	return p
}

// again gives a copy of a path, in the settler's memory.
func (t *settler) again(p *path) path {
	q := t.blank()
	copy(q.blades, p.blades)
	copy(q.wants, p.wants)
	return q
}
