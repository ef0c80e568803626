package rip

// web is the goal's cuttings packed for many passes over them: nodes by blade,
// those that only begin a strip before those that end one, in rising order. A
// web over a narrower interval of fences leaves out what is known to move too
// far, so that the passes get shorter as the intervals do.
type web struct {
	at    []int32  // the network's nodes
	begun []int32  // per blade, its first node that begins a strip, and one more
	ended []int32  // per blade, its first node that ends one
	leads []int8   // per node: whether a cutting can start here, and how
	first []int32  // per node, its first arc, and one more
	arcs  []int32  // nodes of the web that a strip leads from
	skips [][]skip // per blade, those that lead to it, by nodes of the web
	ends  []int32
	// Travel over the interval up to each node, itself included, and after it.
	to, fro []int64
}

// How a cutting can start at a node.
const (
	noLead   = iota
	leadIdle // all blades before it idle
	leadEdge // with a strip from a straight edge
)

// pack makes the web of what was picked.
func (t *settler) pack() *web {
	w := &web{}
	number := t.small.take(len(t.nodes))
	arcs := 0
	for i := range t.layers {
		w.begun = append(w.begun, int32(len(w.at)))
		for _, x := range t.begun[i] {
			number[x] = int32(len(w.at))
			w.at = append(w.at, x)
		}
		w.ended = append(w.ended, int32(len(w.at)))
		for _, x := range t.ended[i] {
			number[x] = int32(len(w.at))
			w.at = append(w.at, x)
		}
	}
	w.begun = append(w.begun, int32(len(w.at)))
	for _, x := range w.at {
		for k := t.nodes[x].arcs; k >= 0; k = t.arcs[k].next {
			arcs++
		}
	}
	n := len(w.at)
	w.leads, w.first, w.arcs = make([]int8, n), make([]int32, 0, n+1), make([]int32, 0, arcs)
	for i, x := range w.at {
		w.first = append(w.first, int32(len(w.arcs)))
		for k := t.nodes[x].arcs; k >= 0; k = t.arcs[k].next {
			switch a := &t.arcs[k]; {
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
	w.skips = make([][]skip, len(t.layers))
	for i := range t.layers {
		for _, k := range t.passed[i] {
			p := skip{from: k.from, to: k.to}
			for _, x := range k.nodes {
				if t.used[x] {
					p.nodes = append(p.nodes, number[x])
				}
			}
			for _, x := range k.users {
				p.users = append(p.users, number[x])
			}
			w.skips[i] = append(w.skips[i], p)
		}
	}
	for _, x := range t.ends {
		w.ends = append(w.ends, number[x])
	}
	w.to, w.fro = make([]int64, n), make([]int64, n)
	return w
}

// without gives the web of the nodes whose travel, both ways, is at most this.
func (w *web) without(most int64) *web {
	v := &web{}
	number := make([]int32, len(w.at))
	keep := 0
	for x := range w.at {
		number[x] = -1
		if w.to[x] < unreached && w.to[x]+w.fro[x] <= most {
			number[x] = int32(keep)
			keep++
		}
	}
	if keep*4 > len(w.at)*3 {
		return w // not worth the copying
	}
	v.at, v.leads, v.first = make([]int32, 0, keep), make([]int8, 0, keep), make([]int32, 0, keep+1)
	v.arcs = make([]int32, 0, len(w.arcs)*keep/max(len(w.at), 1))
	for i := range w.ended {
		v.begun = append(v.begun, int32(len(v.at)))
		v.copied(w, number, w.begun[i], w.ended[i])
		v.ended = append(v.ended, int32(len(v.at)))
		v.copied(w, number, w.ended[i], w.begun[i+1])
	}
	v.begun = append(v.begun, int32(len(v.at)))
	v.first = append(v.first, int32(len(v.arcs)))
	part := func(from []int32) (to []int32) {
		for _, x := range from {
			if number[x] >= 0 {
				to = append(to, number[x])
			}
		}
		return to
	}
	v.skips = make([][]skip, len(w.skips))
	for i := range w.skips {
		for _, k := range w.skips[i] {
			if p := (skip{k.from, k.to, part(k.nodes), part(k.users)}); len(p.nodes) > 0 && len(p.users) > 0 {
				v.skips[i] = append(v.skips[i], p)
			}
		}
	}
	v.ends = part(w.ends)
	v.to, v.fro = make([]int64, keep), make([]int64, keep)
	return v
}

// copied takes over the nodes from one to another that are numbered.
func (v *web) copied(w *web, number []int32, from, to int32) {
	for x := from; x < to; x++ {
		if number[x] < 0 {
			continue
		}
		v.at, v.leads, v.first = append(v.at, w.at[x]), append(v.leads, w.leads[x]), append(v.first, int32(len(v.arcs)))
		for _, a := range w.arcs[w.first[x]:w.first[x+1]] {
			if number[a] >= 0 {
				v.arcs = append(v.arcs, number[a])
			}
		}
	}
}
