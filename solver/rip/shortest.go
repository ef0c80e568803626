package rip

import "slices"

// pick marks what belongs to one of the goal's cuttings.
func (t *settler) pick(g *goal) {
	n := len(t.in.blades)
	t.used = slices.Grow(t.used[:0], len(t.nodes))[:len(t.nodes)]
	clear(t.used)
	t.to = slices.Grow(t.to[:0], len(t.nodes))[:len(t.nodes)]
	t.ends, t.count = g.ends, 0
	stack := t.stack[:0]
	mark := func(x int32) {
		if !t.used[x] {
			t.used[x] = true
			t.count++
			stack = append(stack, x)
		}
	}
	for _, x := range g.ends {
		mark(x)
	}
	reach := t.small.take(len(t.skips)) // how many of a skip's nodes are marked
	users := t.small.take(len(t.skips))
	for len(stack) > 0 {
		x := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		for i := t.nodes[x].arcs; i >= 0; i = t.arcs[i].next {
			switch a := &t.arcs[i]; {
			case a.from >= 0:
				mark(a.from)
			case a.skip >= 0:
				k := &t.skips[a.skip]
				users[a.skip]++
				for r := &reach[a.skip]; int(*r) < len(k.nodes) && t.follows(k, k.nodes[*r], x); *r++ {
					mark(k.nodes[*r])
				}
			}
		}
	}
	t.stack = stack
	t.begun = slices.Grow(t.begun[:0], n)[:n]
	t.ended = slices.Grow(t.ended[:0], n)[:n]
	t.passed = slices.Grow(t.passed[:0], n)[:n]
	for j := range t.passed {
		t.passed[j] = t.passed[j][:0]
	}
	place := t.small.take(len(t.skips))
	for i, k := range t.skips {
		if users[i] > 0 {
			place[i] = int32(len(t.passed[k.to]))
			t.passed[k.to] = append(t.passed[k.to], skip{from: k.from, to: k.to, nodes: k.nodes[:reach[i]],
				users: t.small.take(int(users[i]))[:0]})
		}
	}
	for j := range t.layers {
		t.ended[j] = t.keep(t.layers[j].ended)
		t.begun[j] = t.keep(t.layers[j].begun)
		for _, x := range t.begun[j] {
			for i := t.nodes[x].arcs; i >= 0; i = t.arcs[i].next {
				if a := &t.arcs[i]; a.skip >= 0 {
					k := &t.passed[j][place[a.skip]]
					k.users = append(k.users, x)
				}
			}
		}
	}
}

// keep gives the nodes that are in use.
func (t *settler) keep(from []int32) []int32 {
	to := t.small.take(len(from))[:0]
	for _, x := range from {
		if t.used[x] {
			to = append(to, x)
		}
	}
	return to
}

// follows reports whether node y of the skip's last blade leaves the idle blades
// room after node x.
func (t *network) follows(k *skip, x, y int32) bool {
	return t.nodes[x].a+int64(k.to-k.from)*t.spread <= t.nodes[y].a
}

// forward fills in to: the least travel over f of all blades up to each node.
func (t *settler) forward(f fences) {
	for i := range t.layers {
		for _, x := range t.begun[i] {
			t.to[x] = t.started(x, f)
		}
		for k := range t.passed[i] {
			t.skipOver(&t.passed[i][k], f)
		}
		for _, x := range t.begun[i] {
			t.to[x] = min(t.to[x]+t.own(i, t.nodes[x].a, f), unreached)
		}
		for _, x := range t.ended[i] {
			best := t.started(x, f)
			for k := t.nodes[x].arcs; k >= 0; k = t.arcs[k].next {
				if a := &t.arcs[k]; a.from >= 0 {
					best = min(best, t.to[a.from])
				}
			}
			t.to[x] = min(best+t.own(i, t.nodes[x].a, f), unreached)
		}
	}
}

// started is the travel of the idle blades before node x where no strip goes
// before it, or only one that a straight edge begins.
func (t *settler) started(x int32, f fences) int64 {
	n := &t.nodes[x]
	for k := n.arcs; k >= 0; k = t.arcs[k].next {
		if a := &t.arcs[k]; a.from < 0 && a.skip < 0 {
			if k := t.leading(int(n.j), a); t.canLead(k, f) {
				return t.lead(int(n.j), k, n.a, f.hi)
			}
		}
	}
	return unreached
}

func (t *settler) skipOver(k *skip, f fences) {
	least := int64(0)
	for m := k.from + 1; m < k.to; m++ {
		least += t.least(m)
	}
	best, next := int64(unreached), 0
	for _, y := range k.users {
		for ; next < len(k.nodes) && t.follows(k, k.nodes[next], y); next++ {
			x := k.nodes[next]
			if t.used[x] && t.to[x] < unreached {
				best = min(best, t.to[x]+t.pushOut(k.from, k.to, t.nodes[x].a, f.lo))
			}
		}
		if best < unreached {
			t.to[y] = min(t.to[y], best+least+t.pushIn(k.from, k.to, t.nodes[y].a, f.hi))
		}
	}
}
