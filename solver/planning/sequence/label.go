package sequence

import (
	"cmp"
	"slices"
)

// label is one way to do a set of orders, ending in some state: how late they are, when
// they are done, and which label it follows.
type label struct {
	late, done Time
	state      int32
	from       int32 // index of the previous label, or -1
}

// less compares sequences at their end.
func (a *label) less(b *label) bool {
	return a.late < b.late || a.late == b.late && a.done < b.done
}

// covers reports whether a is as good as b whatever follows.
func (a *label) covers(b *label) bool { return a.late <= b.late && a.done <= b.done }

// front is labels of one set and state, none of which covers another.
type front []int32

// add adds label i to the front, unless one there covers it.
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

// walk is orders in a sequence, with the labels of every place: it gives the settings on
// which that sequence is best.
type walk struct {
	all     []label
	last    front // labels at the last place that none covers
	next, f front
}

// newWalk follows orders in their sequence; w, if given, is reused.
func (t *table) newWalk(orders []int, w *walk) *walk {
	if w == nil {
		w = &walk{}
	}
	w.all = append(w.all[:0], label{state: int32(t.start()), from: -1})
	w.last = append(w.last[:0], 0)
	t.follow(w, orders)
	return w
}

// widest is the number of labels kept for a state at a place: of more, the least late are
// kept.
const widest = 24

// follow continues to the end of the orders. Once the search must end, it continues with
// one label per place.
func (t *table) follow(w *walk, orders []int) {
	for _, o := range orders {
		w.next = w.next[:0]
		for _, s := range t.of[o] {
			w.f = w.f[:0]
			for _, i := range w.last {
				w.all = append(w.all, t.after(&w.all[i], i, s))
				w.f = w.f.add(w.all, int32(len(w.all)-1))
				if t.spend(1 + int64(len(w.f)/16)) {
					break
				}
			}
			if len(w.f) > widest {
				slices.SortFunc(w.f, func(a, b int32) int { return cmp.Compare(w.all[a].late, w.all[b].late) })
				w.f = w.f[:widest]
			}
			w.next = append(w.next, w.f...)
		}
		if t.stopped {
			w.next = append(w.next[:0], w.least(w.next))
		}
		w.last, w.next = w.next, w.last
	}
}

// end is the best label of the whole walk.
func (w *walk) end() *label { return &w.all[w.best()] }

func (w *walk) best() int32 { return w.least(w.last) }

func (w *walk) least(of front) int32 {
	best := of[0]
	for _, i := range of {
		if w.all[i].less(&w.all[best]) {
			best = i
		}
	}
	return best
}

func (w *walk) states() []int {
	return trace(func(i int32) *label { return &w.all[i] }, w.best())
}

// after is the label that follows a, which has index i, when state s is run next.
func (t *table) after(a *label, i int32, s int) label {
	done := t.done(a.done, int(a.state), s)
	return label{late: a.late + t.late(s, done), done: done, state: int32(s), from: i}
}

// trace gives the states on the way to the label with index i.
func trace(at func(int32) *label, i int32) []int {
	var back []int
	for l := at(i); l.from >= 0; l = at(l.from) {
		back = append(back, int(l.state))
	}
	slices.Reverse(back)
	return back
}
