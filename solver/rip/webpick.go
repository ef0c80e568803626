package rip

import "slices"

// pick marks the parts of the goal's cuttings.
func (t *settler) pick(g *goal) {
	n := len(t.in.blades)
	t.used = slices.Grow(t.used[:0], t.nodes.n)[:t.nodes.n]
	clear(t.used)
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
		t.s.tick(1)
		x := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		for i := t.nodes.at(x).arcs; i >= 0; i = t.arcs.at(i).next {
			t.s.poll(int(i))
			switch a := t.arcs.at(i); {
			case a.from >= 0:
				mark(a.from)
			case a.skip >= 0:
				k := &t.skips[a.skip]
				users[a.skip]++
				for r := &reach[a.skip]; int(*r) < len(k.nodes) && t.follows(k, k.nodes[*r], x); *r++ {
					t.s.poll(int(*r))
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
		t.s.poll(i)
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
			for i := t.nodes.at(x).arcs; i >= 0; i = t.arcs.at(i).next {
				t.s.poll(int(i))
				if a := t.arcs.at(i); a.skip >= 0 {
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
	for i, x := range from {
		t.s.poll(i)
		if t.used[x] {
			to = append(to, x)
		}
	}
	return to
}

// follows reports whether node y of the skip's last blade leaves the idle blades room
// after node x.
func (t *network) follows(k *skip, x, y int32) bool {
	return t.nodes.at(x).a+int64(k.to-k.from)*t.spread <= t.nodes.at(y).a
}
