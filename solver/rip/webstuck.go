package rip

import "slices"

// stuck gives the web of the nodes that are part of a cutting which has no counterpart in
// the web when each of its nodes is shifted to the given one.
func (t *settler) stuck(w *web, to []int32) *web {
	before, after := t.stuckBefore(w, to), t.stuckAfter(w, to)
	for x := range before {
		before[x] = before[x] || after[x]
	}
	return t.part(w, before)
}

// stuckBefore says for each node whether some way to it has no counterpart.
func (t *settler) stuckBefore(w *web, to []int32) []bool {
	is, member := t.room.flags.take(len(w.at)), t.room.ints.take(len(w.at))
	for i := range t.layers {
		for x := w.begun[i]; x < w.begun[i+1]; x++ {
			t.s.poll(int(x))
			y := to[x]
			is[x] = y < 0 || w.leads[x] == leadEdge || w.leads[x] == leadIdle && w.leads[y] != leadIdle
			for _, from := range w.arcs[w.first[x]:w.first[x+1]] {
				is[x] = is[x] || is[from] || !t.joined(w, to[from], y)
			}
		}
		for s := w.over[i]; s < w.over[i+1]; s++ {
			k := &w.skips[s]
			t.s.tick(int64(len(k.nodes)+len(k.users))/stride + 1)
			k.enrol(member, s+1)
			next, stuck := 0, false
			for _, y := range k.users {
				for ; next < len(k.nodes) && t.follows(k, w.at[k.nodes[next]], w.at[y]); next++ {
					x := k.nodes[next]
					stuck = stuck || is[x] || to[x] < 0 || member[to[x]] != s+1
				}
				is[y] = is[y] || stuck || to[y] < 0 || member[to[y]] != s+1
			}
		}
	}
	return is
}

// stuckAfter says for each node whether some way on from it has no counterpart.
func (t *settler) stuckAfter(w *web, to []int32) []bool {
	is, member := t.room.flags.take(len(w.at)), t.room.ints.take(len(w.at))
	for _, x := range w.ends {
		member[x] = -1
	}
	for _, x := range w.ends {
		is[x] = to[x] < 0 || member[to[x]] != -1
	}
	for i := len(t.layers) - 1; i >= 0; i-- {
		for x := w.begun[i]; x < w.begun[i+1]; x++ {
			for _, from := range w.arcs[w.first[x]:w.first[x+1]] {
				is[from] = is[from] || is[x] || !t.joined(w, to[from], to[x])
			}
		}
		for s := w.over[i]; s < w.over[i+1]; s++ {
			k := &w.skips[s]
			t.s.tick(int64(len(k.nodes)+len(k.users))/stride + 1)
			k.enrol(member, s+1)
			next, stuck := len(k.users)-1, false
			for at := len(k.nodes) - 1; at >= 0; at-- {
				x := k.nodes[at]
				for ; next >= 0 && t.follows(k, w.at[x], w.at[k.users[next]]); next-- {
					y := k.users[next]
					stuck = stuck || is[y] || to[y] < 0 || member[to[y]] != s+1
				}
				is[x] = is[x] || stuck || to[x] < 0 || member[to[x]] != s+1
			}
		}
	}
	return is
}

// enrol marks the skip's nodes as its members.
func (k *skip) enrol(member []int32, as int32) {
	for _, x := range k.nodes {
		member[x] = as
	}
	for _, x := range k.users {
		member[x] = as
	}
}

// joined reports whether a strip leads from node x to node y.
func (t *settler) joined(w *web, x, y int32) bool {
	if x < 0 || y < 0 {
		return false
	}
	arcs := w.arcs[w.first[y]:w.first[y+1]]
	t.s.tick(int64(len(arcs))/64 + 1)
	return slices.Contains(arcs, x)
}
