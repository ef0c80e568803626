package rip

import "slices"

// few reports whether settling the web's cuttings one by one takes no longer than some
// bounds of them all.
func (t *settler) few(w *web) bool {
	most := int32(len(w.at) + 9)
	mark := t.room.mark()
	defer t.room.back(mark)
	ways := t.room.ints.take(len(w.at)) // up to each node
	for i := range t.layers {
		for x := w.begun[i]; x < w.begun[i+1]; x++ {
			if w.leads[x] != noLead {
				ways[x] = 1
			}
			t.s.poll(int(x))
			for k, from := range w.arcs[w.first[x]:w.first[x+1]] {
				t.s.poll(k + 1)
				ways[x] = min(ways[x]+ways[from], most)
			}
		}
		for s := w.over[i]; s < w.over[i+1]; s++ {
			k, sum, next := &w.skips[s], int32(0), 0
			for at, y := range k.users {
				t.s.poll(at)
				for ; next < len(k.nodes) && t.follows(k, w.at[k.nodes[next]], w.at[y]); next++ {
					t.s.poll(next)
					sum = min(sum+ways[k.nodes[next]], most)
				}
				ways[y] = min(ways[y]+sum, most)
			}
		}
	}
	sum := int32(0)
	for i, x := range w.ends {
		t.s.poll(i)
		sum = min(sum+ways[x], most)
	}
	return sum < most
}

// each settles the web's cuttings one by one over an interval of fences.
func (t *settler) each(w *web, f fences) (found bool) {
	b := &t.way
	b.reset(f)
	b.both(t.in.fence0)
	start := *b
	for _, x := range w.ends {
		t.s.tick(1)
		n := t.nodes.at(w.at[x])
		j := int(n.j)
		b.within(f.lo, t.trailTo(j))
		for m := j + 1; m < len(t.in.blades); m++ {
			b.base += t.least(m)
			b.rise(t.rises[m] - t.trailFrom(m, j, n.a))
		}
		found = t.eachUpTo(w, x, j) || found
		b.back(start)
	}
	return found
}

// eachUpTo settles the cuttings that continue from node x of blade i like the way at
// hand.
func (t *settler) eachUpTo(w *web, x int32, i int) (found bool) {
	if !t.s.spend(1) {
		return false
	}
	b, a := &t.way, t.height(w, x)
	own := &t.in.blades[i]
	b.both(own.current - a)
	b.within(own.lo-a, own.hi-a)
	here := *b
	if b.lo > b.hi {
		return false
	}
	if w.leads[x] != noLead {
		found = t.eachLed(w, x, i)
		b.back(here)
	}
	for _, from := range w.arcs[w.first[x]:w.first[x+1]] {
		found = t.eachUpTo(w, from, i-1) || found
		b.back(here)
	}
	for s := w.over[i]; s < w.over[i+1]; s++ {
		k := &w.skips[s]
		if _, uses := slices.BinarySearch(k.users, x); !uses {
			continue
		}
		for _, y := range k.nodes {
			if !t.follows(k, w.at[y], w.at[x]) {
				break
			}
			t.passOver(k, t.height(w, y), a)
			found = t.eachUpTo(w, y, k.from) || found
			b.back(here)
		}
	}
	return found
}

// passOver adds to the way at hand the idle blades between two at heights a and q.
func (t *settler) passOver(k *skip, a, q int64) {
	for m := k.from + 1; m < k.to; m++ {
		t.way.base += t.least(m)
		t.way.rise(t.rises[m] - a - int64(m-k.from)*t.spread)
		t.way.fall(t.falls[m] - q + int64(k.to-m)*t.spread)
	}
}

// eachLed settles the cutting of the way at hand that begins at node x of blade i.
func (t *settler) eachLed(w *web, x int32, i int) bool {
	b, a, k := &t.way, t.height(w, x), t.cleared[i]
	if w.leads[x] == leadEdge {
		k = i
	}
	if k > 0 {
		b.within(t.leadFrom(k), b.hi)
	}
	for m := range i {
		b.base += t.least(m)
		b.fall(t.falls[m] - t.leadTo(m, i, k, a))
	}
	f, ok := b.turn(t.in, &t.turns)
	return ok && t.note(b.travel(f), f)
}
