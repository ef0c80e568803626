package rip

// travelBound is a lower bound on the travel of all cuttings in a web over an interval.
type travelBound struct {
	chord
	exact bool // it is the travel at either end, and in between no travel is less
}

// bound gives the least travel over f of all cuttings in the web, by the
// shortest path, and leaves the travel up to every node in it.
func (t *settler) bound(w *web, f fences) travelBound {
	if !t.s.spend(int64(len(w.at)+len(w.arcs))/8 + 1) {
		return travelBound{chord: nowhere}
	}
	return t.pass(w, f)
}

// pass is bound without regard to limits.
func (t *settler) pass(w *web, f fences) travelBound {
	t.bent = false
	for i := range t.layers {
		begun, ended, end := w.begun[i], w.ended[i], w.begun[i+1]
		for x := begun; x < ended; x++ {
			t.s.tick(1)
			w.to[x] = t.startsAt(w, x, i, f)
		}
		for k := w.over[i]; k < w.over[i+1]; k++ {
			t.skipOver(w, &w.skips[k], f)
		}
		for x := begun; x < ended; x++ {
			t.s.poll(int(x))
			t.arrive(w, x, i, w.to[x], f)
		}
		for x := ended; x < end; x++ {
			best := nowhere
			if w.leads[x] != noLead {
				best = t.startsAt(w, x, i, f)
			}
			t.s.poll(int(x))
			for k, from := range w.arcs[w.first[x]:w.first[x+1]] {
				t.s.poll(k + 1)
				best = best.or(w.to[from])
			}
			t.arrive(w, x, i, best, f)
		}
	}
	best := nowhere
	for _, x := range w.ends {
		t.s.tick(1)
		if n := t.nodes.at(w.at[x]); w.to[x].lo < unreached && t.canTrail(int(n.j), f) {
			best = best.or(w.to[x].plus(t.trail(int(n.j), n.a, f)))
		}
	}
	if best.lo >= unreached {
		return travelBound{chord: nowhere}
	}
	best = best.plus(t.away(f))
	return travelBound{best, !t.bent}
}

// arrive sets the travel up to a node of blade i that is reached with a travel.
func (t *settler) arrive(w *web, x int32, i int, by chord, f fences) {
	if by.lo < unreached {
		if own := t.own(i, t.height(w, x), f); own.lo < unreached {
			w.to[x] = by.plus(own)
			return
		}
	}
	w.to[x] = nowhere
}

// startsAt is the travel of the idle blades before node x of blade i if a cutting starts
// there.
func (t *settler) startsAt(w *web, x int32, i int, f fences) chord {
	k := t.cleared[i]
	switch w.leads[x] {
	case noLead:
		return nowhere
	case leadEdge:
		k = i
	}
	if !t.canLead(k, f) {
		return nowhere
	}
	return t.lead(i, k, t.height(w, x), f)
}

// leastOver is the travel of the blades that a skip passes over when nothing pushes them.
func (t *settler) leastOver(k *skip) (sum int64) {
	for m := k.from + 1; m < k.to; m++ {
		sum += t.least(m)
	}
	return sum
}

func (t *settler) skipOver(w *web, k *skip, f fences) {
	least, best, next := t.leastOver(k), nowhere, 0
	for i, y := range k.users {
		t.s.poll(i)
		for ; next < len(k.nodes) && t.follows(k, w.at[k.nodes[next]], w.at[y]); next++ {
			t.s.poll(next)
			if x := k.nodes[next]; w.to[x].lo < unreached {
				best = best.or(w.to[x].plus(t.pushOut(k.from, k.to, t.height(w, x), f)))
			}
		}
		if best.lo < unreached {
			w.to[y] = w.to[y].or(best.plus(chord{least, least}).plus(t.pushIn(k.from, k.to, t.height(w, y), f)))
		}
	}
}

// after computes the least travel over f after every node in the web.
func (t *settler) after(w *web, f fences) {
	for x := range w.fro {
		w.fro[x] = nowhere
	}
	for _, x := range w.ends {
		t.s.tick(1)
		if n := t.nodes.at(w.at[x]); t.canTrail(int(n.j), f) {
			w.fro[x] = t.trail(int(n.j), n.a, f)
		}
	}
	for i := len(t.layers) - 1; i >= 0; i-- {
		for x := w.ended[i]; x < w.begun[i+1]; x++ {
			t.s.poll(int(x))
			if w.fro[x].lo >= unreached {
				continue
			}
			own := t.own(i, t.height(w, x), f)
			if own.lo >= unreached {
				continue
			}
			c := w.fro[x].plus(own)
			for k, from := range w.arcs[w.first[x]:w.first[x+1]] {
				t.s.poll(k + 1)
				w.fro[from] = w.fro[from].or(c)
			}
		}
		for k := w.over[i]; k < w.over[i+1]; k++ {
			t.skipBack(w, &w.skips[k], f)
		}
	}
}

func (t *settler) skipBack(w *web, k *skip, f fences) {
	least, best, next := t.leastOver(k), nowhere, len(k.users)-1
	for at := len(k.nodes) - 1; at >= 0; at-- {
		x := k.nodes[at]
		t.s.poll(at)
		for ; next >= 0 && t.follows(k, w.at[x], w.at[k.users[next]]); next-- {
			y := k.users[next]
			t.s.poll(next)
			if w.fro[y].lo >= unreached {
				continue
			}
			a := t.height(w, y)
			if own := t.own(k.to, a, f); own.lo < unreached {
				best = best.or(w.fro[y].plus(own).plus(t.pushIn(k.from, k.to, a, f)))
			}
		}
		if best.lo < unreached {
			w.fro[x] = w.fro[x].or(best.plus(chord{least, least}).plus(t.pushOut(k.from, k.to, t.height(w, x), f)))
		}
	}
}
