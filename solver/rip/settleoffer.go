package rip

// offer writes out the cutting with the least travel at the fence found, the
// first in order among equals, and offers it to the pool. The web is that of all
// the goal's cuttings.
func (t *settler) offer(g *goal, w *web) {
	f := fences{t.fence, t.fence}
	t.pass(w, f)
	for x := range w.at {
		t.to[w.at[x]] = w.to[x]
	}
	memo := make(map[int32]*path)
	var best *path
	away := t.away(f)
	for _, x := range t.ends {
		j, a := int(t.nodes[x].j), t.nodes[x].a
		if t.to[x] >= unreached || !t.canTrail(j, f) || t.to[x]+t.trail(j, a, f.lo)+away != t.travel {
			continue
		}
		p := t.upTo(x, f.lo, memo).clone()
		for m := j + 1; m < len(p.blades); m++ {
			p.blades[m] = max(t.rests[m], t.trailFrom(m, j, a)+f.lo)
		}
		if best == nil || p.cmp(best) < 0 {
			best = p
		}
	}
	sc := g.score
	sc.travel = t.travel
	t.s.pool.offer(sc, f.lo, best, g.kind)
}

// upTo gives the first in order of the shortest ways to node x. Ways to one
// node go on alike, so the first of them is part of the first cutting.
func (t *settler) upTo(x int32, f int64, memo map[int32]*path) *path {
	if p := memo[x]; p != nil {
		return p
	}
	var best *path
	n := &t.nodes[x]
	j := int(n.j)
	goal := t.to[x] - t.own(j, n.a, fences{f, f})
	take := func(p *path) {
		p.blades[j] = n.a + f
		if best == nil || p.cmp(best) < 0 {
			best = p
		}
	}
	var before *path // of the ways by a strip; its item is the last thing to differ
	item := int16(noWant)
	for k := n.arcs; k >= 0; k = t.arcs[k].next {
		t.s.work++
		switch a := &t.arcs[k]; {
		case a.from >= 0:
			if t.to[a.from] != goal {
				continue
			}
			p := t.upTo(a.from, f, memo)
			if before != nil {
				if c := p.cmp(before); c > 0 || c == 0 && a.want > item {
					continue
				}
			}
			before, item = p, a.want
		case a.skip >= 0:
			t.upToSkip(&t.skips[a.skip], n.a, goal, f, memo, take)
		default:
			k := t.leading(j, a)
			if !t.canLead(k, fences{f, f}) || t.lead(j, k, n.a, f) != goal {
				continue
			}
			p := t.blank()
			for m := range j {
				p.blades[m] = min(t.rests[m], t.leadTo(m, j, k, n.a)+f)
			}
			if a.want != noWant {
				p.wants[t.pocket(j)] = a.want
			}
			take(p)
		}
	}
	if before != nil {
		p := before.clone()
		p.wants[t.pocket(j)] = item
		take(p)
	}
	memo[x] = best
	return best
}

func (t *settler) upToSkip(k *skip, q, goal, f int64, memo map[int32]*path, take func(*path)) {
	least := t.leastOver(k)
	for _, y := range k.nodes {
		a := t.nodes[y].a
		if a+int64(k.to-k.from)*t.spread > q {
			return
		}
		if !t.used[y] || t.to[y]+least+t.pushOut(k.from, k.to, a, f)+t.pushIn(k.from, k.to, q, f) != goal {
			continue
		}
		p := t.upTo(y, f, memo).clone()
		for m := k.from + 1; m < k.to; m++ {
			x := max(t.rests[m], a+int64(m-k.from)*t.spread+f)
			p.blades[m] = min(x, q-int64(k.to-m)*t.spread+f)
		}
		take(p)
	}
}

// pocket before blade j.
func (t *settler) pocket(j int) int {
	if t.in.straight {
		return j
	}
	return j - 1
}

func (t *settler) blank() *path {
	p := &path{make([]int64, len(t.in.blades)), make([]int16, len(t.s.pathA.wants))}
	for i := range p.wants {
		p.wants[i] = noWant
	}
	return p
}
