package rip

// bound gives the least travel over f of all cuttings in the web, by the
// shortest path, and leaves the travel up to every node in it.
func (t *settler) bound(w *web, f fences) int64 {
	if !t.s.spend(int64(len(w.at)+len(w.arcs))/8 + 1) {
		return unreached
	}
	return t.pass(w, f)
}

// pass is bound without regard to limits.
func (t *settler) pass(w *web, f fences) int64 {
	for i := range t.layers {
		begun, ended, end := w.begun[i], w.ended[i], w.begun[i+1]
		for x := begun; x < ended; x++ {
			w.to[x] = t.startsAt(w, x, i, f)
		}
		for k := range w.skips[i] {
			t.skipOver(w, &w.skips[i][k], f)
		}
		for x := begun; x < ended; x++ {
			w.to[x] = min(w.to[x]+t.own(i, t.nodes[w.at[x]].a, f), unreached)
		}
		for x := ended; x < end; x++ {
			best := t.startsAt(w, x, i, f)
			for _, from := range w.arcs[w.first[x]:w.first[x+1]] {
				best = min(best, w.to[from])
			}
			w.to[x] = min(best+t.own(i, t.nodes[w.at[x]].a, f), unreached)
		}
	}
	best := int64(unreached)
	for _, x := range w.ends {
		if n := &t.nodes[w.at[x]]; w.to[x] < unreached && t.canTrail(int(n.j), f) {
			best = min(best, w.to[x]+t.trail(int(n.j), n.a, f.lo))
		}
	}
	if best >= unreached {
		return unreached
	}
	return best + t.away(f)
}

// away is how far the fence moves at least.
func (t *settler) away(f fences) int64 { return max(f.lo-t.in.fence0, t.in.fence0-f.hi, 0) }

// startsAt is the travel of the idle blades before node x of blade i where a
// cutting starts there.
func (t *settler) startsAt(w *web, x int32, i int, f fences) int64 {
	k := t.cleared[i]
	switch w.leads[x] {
	case noLead:
		return unreached
	case leadEdge:
		k = i
	}
	if !t.canLead(k, f) {
		return unreached
	}
	return t.lead(i, k, t.nodes[w.at[x]].a, f.hi)
}

// leastOver is the travel of the blades that a skip passes over when nothing
// pushes them.
func (t *settler) leastOver(k *skip) (sum int64) {
	for m := k.from + 1; m < k.to; m++ {
		sum += t.least(m)
	}
	return sum
}

func (t *settler) skipOver(w *web, k *skip, f fences) {
	least, best, next := t.leastOver(k), int64(unreached), 0
	for _, y := range k.users {
		for ; next < len(k.nodes) && t.follows(k, w.at[k.nodes[next]], w.at[y]); next++ {
			if x := k.nodes[next]; w.to[x] < unreached {
				best = min(best, w.to[x]+t.pushOut(k.from, k.to, t.nodes[w.at[x]].a, f.lo))
			}
		}
		if best < unreached {
			w.to[y] = min(w.to[y], best+least+t.pushIn(k.from, k.to, t.nodes[w.at[y]].a, f.hi))
		}
	}
}

// after leaves the least travel over f after every node in the web.
func (t *settler) after(w *web, f fences) {
	for x := range w.fro {
		w.fro[x] = unreached
	}
	for _, x := range w.ends {
		if n := &t.nodes[w.at[x]]; t.canTrail(int(n.j), f) {
			w.fro[x] = t.trail(int(n.j), n.a, f.lo)
		}
	}
	for i := len(t.layers) - 1; i >= 0; i-- {
		for x := w.ended[i]; x < w.begun[i+1]; x++ {
			if w.fro[x] >= unreached {
				continue
			}
			c := w.fro[x] + t.own(i, t.nodes[w.at[x]].a, f)
			for _, from := range w.arcs[w.first[x]:w.first[x+1]] {
				w.fro[from] = min(w.fro[from], c)
			}
		}
		for k := range w.skips[i] {
			t.skipBack(w, &w.skips[i][k], f)
		}
	}
}

func (t *settler) skipBack(w *web, k *skip, f fences) {
	least, best, next := t.leastOver(k), int64(unreached), len(k.users)-1
	for at := len(k.nodes) - 1; at >= 0; at-- {
		x := k.nodes[at]
		for ; next >= 0 && t.follows(k, w.at[x], w.at[k.users[next]]); next-- {
			y := k.users[next]
			if a := t.nodes[w.at[y]].a; w.fro[y] < unreached {
				best = min(best, w.fro[y]+t.own(k.to, a, f)+t.pushIn(k.from, k.to, a, f.hi))
			}
		}
		if best < unreached {
			w.fro[x] = min(w.fro[x], best+least+t.pushOut(k.from, k.to, t.nodes[w.at[x]].a, f.lo))
		}
	}
}
