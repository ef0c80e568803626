package sequence

// label is one way to have done a set of orders, ending in some state: how late
// they are, when they are done, and where it came from.
type label struct {
	late, done Time
	state      int32
	from       int32 // index of the label before, or -1
}

// less orders what a sequence is judged by at its end.
func (a *label) less(b *label) bool {
	return a.late < b.late || a.late == b.late && a.done < b.done
}

// covers reports whether a is as good as b whatever follows.
func (a *label) covers(b *label) bool { return a.late <= b.late && a.done <= b.done }

// front is labels of one set and state, none of which covers another.
type front []int32

// add puts label i into the front, unless one there covers it.
func (f front) add(all []label, i int32) front {
	kept := f[:0]
	for _, j := range f {
		if all[j].covers(&all[i]) {
			return f
		}
	}
	for _, j := range f {
		if !all[i].covers(&all[j]) {
			kept = append(kept, j)
		}
	}
	return append(kept, i)
}

// along gives the best settings for orders in a fixed sequence: the end of it and
// the states.
func (t *table) along(orders []int) (label, []int) {
	all := []label{{state: int32(t.start()), from: -1}}
	last := front{0}
	for _, o := range orders {
		var next front
		for _, s := range t.of[o] {
			var f front
			for _, i := range last {
				all = append(all, t.after(all, i, s))
				f = f.add(all, int32(len(all)-1))
			}
			next = append(next, f...)
		}
		last = next
	}
	best := last[0]
	for _, i := range last {
		if all[i].less(&all[best]) {
			best = i
		}
	}
	return all[best], trace(all, best)
}

// after is the label that follows label i when state s is run next.
func (t *table) after(all []label, i int32, s int) label {
	a := &all[i]
	done := a.done + t.change[a.state][s] + t.run(s)
	return label{late: a.late + t.late(s, done), done: done, state: int32(s), from: i}
}

func trace(all []label, i int32) []int {
	var back []int
	for ; all[i].from >= 0; i = all[i].from {
		back = append(back, int(all[i].state))
	}
	for l, r := 0, len(back)-1; l < r; l, r = l+1, r-1 {
		back[l], back[r] = back[r], back[l]
	}
	return back
}
