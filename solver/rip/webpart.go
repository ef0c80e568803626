package rip

// part gives the web of the nodes that are kept.
func (t *settler) part(w *web, kept []bool) *web {
	number := t.room.ints.take(len(w.at))
	n := int32(0)
	for x, keep := range kept {
		t.s.poll(x)
		if number[x] = -1; keep {
			number[x] = n
			n++
		}
	}
	u := t.newWeb(int(n), len(w.arcs), len(w.skips), len(w.ends))
	v := &u
	for i := range w.ended {
		v.begun = append(v.begun, int32(len(v.at)))
		t.copied(v, w, number, w.begun[i], w.ended[i])
		v.ended = append(v.ended, int32(len(v.at)))
		t.copied(v, w, number, w.ended[i], w.begun[i+1])
		v.over = append(v.over, int32(len(v.skips)))
		for _, k := range w.skips[w.over[i]:w.over[i+1]] {
			k.nodes, k.users = t.those(k.nodes, number), t.those(k.users, number)
			if len(k.nodes) > 0 && len(k.users) > 0 {
				v.skips = append(v.skips, k)
			}
		}
	}
	v.begun, v.over = append(v.begun, int32(len(v.at))), append(v.over, int32(len(v.skips)))
	v.first = append(v.first, int32(len(v.arcs)))
	v.ends = t.those(w.ends, number)
	return v
}

// copied adds the numbered nodes of another web, from first up to but without end.
func (t *settler) copied(w, from *web, number []int32, first, end int32) {
	for x := first; x < end; x++ {
		if number[x] < 0 {
			continue
		}
		w.leads[len(w.at)] = from.leads[x]
		w.at, w.first = append(w.at, from.at[x]), append(w.first, int32(len(w.arcs)))
		for i, a := range from.arcs[from.first[x]:from.first[x+1]] {
			t.s.poll(i)
			if number[a] >= 0 {
				w.arcs = append(w.arcs, number[a])
			}
		}
	}
}

// those gives the numbers of nodes that have one.
func (t *settler) those(from, number []int32) []int32 {
	to := t.room.ints.take(len(from))[:0]
	for i, x := range from {
		t.s.poll(i)
		if number[x] >= 0 {
			to = append(to, number[x])
		}
	}
	return to
}

// promising gives the web of the nodes through which the travel may be less than the
// known one, or the web itself if that is not worth the copying. It needs the travel up
// to and after each node.
func (t *settler) promising(w *web, f fences) *web {
	kept, n := t.room.flags.take(len(w.at)), 0
	away := t.away(f)
	for x := range w.at {
		t.s.poll(x)
		if w.to[x].lo < unreached && w.fro[x].lo < unreached && !t.settled(w.to[x].plus(w.fro[x]).plus(away).least(), f.lo) {
			kept[x] = true
			n++
		}
	}
	if n*4 > len(w.at)*3 {
		return w
	}
	return t.part(w, kept)
}
