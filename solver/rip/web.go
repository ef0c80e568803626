package rip

// web is the goal's cuttings packed for many passes over them: nodes by blade, those that
// only begin a strip before those that end one, in rising order. A part of a web has
// fewer nodes and all cuttings of those alone.
type web struct {
	at    []int32 // the network's nodes
	begun []int32 // per blade, its first node that begins a strip, and one more
	ended []int32 // per blade, its first node that ends one
	leads []int32 // per node: whether a cutting can start here, and how
	first []int32 // per node, its first arc, and one more
	arcs  []int32 // nodes of the web that a strip leads from
	over  []int32 // per blade, the first skip that leads to it, and one more
	skips []skip  // by nodes of the web
	ends  []int32
	// Travel over an interval up to each node, itself included, and after it.
	to, fro []chord
}

// How a cutting can start at a node.
const (
	noLead   = iota
	leadIdle // all blades before it idle
	leadEdge // with a strip from a straight edge
)

// newWeb gives room for a web with at most these numbers of nodes, arcs, skips and ends.
func (t *settler) newWeb(nodes, arcs, skips, ends int) web {
	r, n := &t.room, len(t.layers)
	return web{
		at: r.ints.take(nodes)[:0], leads: r.ints.take(nodes), arcs: r.ints.take(arcs)[:0], first: r.ints.take(nodes + 1)[:0],
		begun: r.ints.take(n + 1)[:0], ended: r.ints.take(n)[:0], over: r.ints.take(n + 1)[:0],
		skips: r.skips.take(skips)[:0], ends: r.ints.take(ends)[:0],
		to: r.chords.take(nodes), fro: r.chords.take(nodes),
	}
}

// pack makes the web of what pick has marked.
func (t *settler) pack() *web {
	arcs, skips := 0, 0
	for i := range t.layers {
		skips += len(t.passed[i])
		for _, side := range [2][]int32{t.begun[i], t.ended[i]} {
			for _, x := range side {
				for k := t.nodes.at(x).arcs; k >= 0; k = t.arcs.at(k).next {
					t.s.poll(arcs)
					arcs++
				}
			}
		}
	}
	v := t.newWeb(t.count, arcs, skips, len(t.ends))
	w := &v
	number := t.room.ints.take(t.nodes.n)
	for i := range t.layers {
		w.begun = append(w.begun, int32(len(w.at)))
		for k, x := range t.begun[i] {
			t.s.poll(k)
			number[x] = int32(len(w.at))
			w.at = append(w.at, x)
		}
		w.ended = append(w.ended, int32(len(w.at)))
		for k, x := range t.ended[i] {
			t.s.poll(k)
			number[x] = int32(len(w.at))
			w.at = append(w.at, x)
		}
	}
	w.begun = append(w.begun, int32(len(w.at)))
	for i, x := range w.at {
		w.first = append(w.first, int32(len(w.arcs)))
		for k := t.nodes.at(x).arcs; k >= 0; k = t.arcs.at(k).next {
			t.s.poll(i)
			switch a := t.arcs.at(k); {
			case a.from >= 0:
				w.arcs = append(w.arcs, number[a.from])
			case a.skip >= 0:
			case a.want != noWant:
				w.leads[i] = leadEdge
			default:
				w.leads[i] = leadIdle
			}
		}
	}
	w.first = append(w.first, int32(len(w.arcs)))
	for i := range t.layers {
		w.over = append(w.over, int32(len(w.skips)))
		for _, k := range t.passed[i] {
			w.skips = append(w.skips, skip{k.from, k.to, t.renumber(k.nodes, number), t.renumber(k.users, number)})
		}
	}
	w.over = append(w.over, int32(len(w.skips)))
	for i, x := range t.ends {
		t.s.poll(i)
		w.ends = append(w.ends, number[x])
	}
	return w
}

// renumber gives the nodes of the network by their numbers in the web, without unused
// ones.
func (t *settler) renumber(from, number []int32) []int32 {
	to := t.room.ints.take(len(from))[:0]
	for i, x := range from {
		t.s.poll(i)
		if t.used[x] {
			to = append(to, number[x])
		}
	}
	return to
}

// height of a node.
func (t *settler) height(w *web, x int32) int64 { return t.nodes.at(w.at[x]).a }
