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

// walk is orders in a sequence with the labels of every place in it, so that one
// that differs from some place on is worked out from there.
type walk struct {
	orders []int
	all    []label
	ends   []int   // how many labels there are before each place
	last   []front // those before each place that nothing covers
}

func (t *table) newWalk(orders []int) *walk {
	w := &walk{all: []label{{state: int32(t.start()), from: -1}}, ends: []int{1}, last: []front{{0}}}
	t.follow(w, orders, nil)
	return w
}

// branch takes what another walk has before a place.
func (w *walk) branch(of *walk, place int) {
	w.all = append(w.all[:0], of.all[:of.ends[place]]...)
	w.ends = append(w.ends[:0], of.ends[:place+1]...)
	w.last = append(w.last[:0], of.last[:place+1]...)
}

// often is after how many labels to poll.
const often = 2000

// follow goes on to all of the orders. It ends early, and reports false, once no
// end can be better than known, if that is given, or the search has to end. Without
// that it goes on with one label for each place.
func (t *table) follow(w *walk, orders []int, known *label) bool {
	w.orders = append(w.orders[:0], orders...)
	for place := len(w.ends) - 1; place < len(orders); place++ {
		var next front
		hope := known == nil
		for _, s := range t.of[orders[place]] {
			var f front
			for _, i := range w.last[place] {
				w.all = append(w.all, t.after(w.all, i, s))
				f = f.add(w.all, int32(len(w.all)-1))
				if t.work += 1 + len(f)/16; t.work-t.polled > often && t.over() {
					break
				}
			}
			if t.stopped && known != nil {
				return false
			}
			for _, i := range f {
				hope = hope || w.all[i].late <= known.late
			}
			next = append(next, f...)
		}
		if t.stopped {
			next = front{w.least(next)}
		}
		w.ends, w.last = append(w.ends, len(w.all)), append(w.last, next)
		if !hope {
			return false
		}
	}
	return known == nil || w.end().less(known)
}

// end is the best label of the whole walk.
func (w *walk) end() *label { return &w.all[w.best()] }

func (w *walk) best() int32 { return w.least(w.last[len(w.last)-1]) }

func (w *walk) least(of front) int32 {
	best := of[0]
	for _, i := range of {
		if w.all[i].less(&w.all[best]) {
			best = i
		}
	}
	return best
}

func (w *walk) states() []int { return trace(w.all, w.best()) }

// after is the label that follows label i when state s is run next.
func (t *table) after(all []label, i int32, s int) label {
	a := &all[i]
	done := a.done + t.change(int(a.state), s) + t.run(s)
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
