package rip

import (
	"slices"
)

// The two sides of a stratum.
const (
	ended = iota
	begun
)

// mostNodes limits a network. Larger ones are left to the search for any saw.
const mostNodes = 150_000

// add adds a node, or another way to reach an existing one.
func (t *network) add(side int, n *node, a arc) {
	if t.nodes.n >= mostNodes {
		t.overfull = true
		return
	}
	at := t.c.index(t.in, n.a)
	first := t.slots[side][at]
	if first == 0 {
		t.touched[side] = append(t.touched[side], at)
	}
	for i := first; i != 0; i = t.nodes.at(i - 1).next {
		if !t.s.spend(1) {
			return
		}
		o := t.nodes.at(i - 1)
		if o.lost || o.kind != n.kind {
			continue
		}
		c := o.score.Cmp(&n.score)
		switch {
		case o.used == n.used:
			if c < 0 {
				o.score, o.coarse, o.paid, o.arcs = n.score, n.coarse, n.paid, -1
			}
			if c <= 0 {
				t.link(i-1, a)
			}
			return
		case c > 0 && t.table.lighter(o.used, n.used):
			return
		case c < 0 && t.table.lighter(n.used, o.used):
			o.lost = true
		}
	}
	// With its places in lists of touched entries, of a layer, its groups and a goal.
	n.arcs, n.next = -1, first
	t.nodes.add(t.s.budget, n, 64) // with what else is kept by node
	t.slots[side][at] = int32(t.nodes.n)
	t.link(int32(t.nodes.n-1), a)
}

func (t *network) link(to int32, a arc) {
	n := t.nodes.at(to)
	a.next = n.arcs
	n.arcs = int32(t.arcs.n)
	t.arcs.add(t.s.budget, &a, 0)
}

// gather lists the nodes of one side of a blade, in rising order, and empties the slots.
func (t *network) gather(side int, to []int32) []int32 {
	t.sort(side)
	for k, at := range t.touched[side] {
		t.s.poll(k)
		for i := t.slots[side][at]; i != 0; i = t.nodes.at(i - 1).next {
			if !t.nodes.at(i - 1).lost {
				to = append(to, i-1)
			}
		}
		t.slots[side][at] = 0
	}
	t.touched[side] = t.touched[side][:0]
	return to
}

// sort puts the entries touched into rising order. If they are many, it checks every
// entry between instead.
func (t *network) sort(side int) {
	touched := t.touched[side]
	t.s.tick(int64(len(touched))/64 + 1)
	if slices.IsSorted(touched) {
		return
	}
	lo, hi := slices.Min(touched), slices.Max(touched)
	t.s.tick(int64(len(touched))/8 + 1)
	if hi-lo > 8*len(touched) {
		slices.Sort(touched)
		return
	}
	touched = touched[:0]
	for at := lo; at <= hi; at++ {
		if t.slots[side][at] != 0 {
			touched = append(touched, at)
		}
	}
}
