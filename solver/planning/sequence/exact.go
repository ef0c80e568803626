package sequence

import (
	"cmp"
	"slices"
)

// maxLabels bounds the memory of an exact search to some tens of megabytes; due
// times that quarrel make many labels.
const maxLabels = 1_000_000

// exact goes over all sets of orders from small to large, and leaves out what
// cannot become better than known, a sequence that is there already. It gives nil
// if nothing is better, and reports false if it was stopped or grew too large.
func (t *table) exact(known label) (better []int, whole bool) {
	n := len(t.p.Orders)
	full := 1<<n - 1
	least := newFloor(t)
	all := []label{{state: int32(t.start()), from: -1}}
	fronts := make([][]front, full+1) // by set, then by state
	extend := func(set int, i int32) {
		for o := range n {
			if set>>o&1 == 1 {
				continue
			}
			next := set | 1<<o
			for _, s := range t.of[o] {
				l := t.after(all, i, s)
				if end := least.end(next, l); !end.less(&known) {
					continue
				}
				if fronts[next] == nil {
					fronts[next] = make([]front, len(t.states))
				}
				f := &fronts[next][s]
				if covered(all, *f, &l) {
					continue
				}
				all = append(all, l)
				*f = f.add(all, int32(len(all)-1))
			}
		}
	}
	extend(0, 0)
	for set := 1; set < full; set++ {
		if len(all) > maxLabels || t.over() {
			return nil, false
		}
		for _, f := range fronts[set] {
			for _, i := range f {
				extend(set, i)
			}
		}
		fronts[set] = nil
	}
	best := int32(-1)
	for _, f := range fronts[full] {
		for _, i := range f {
			if best < 0 || all[i].less(&all[best]) {
				best = i
			}
		}
	}
	if best < 0 {
		return nil, true
	}
	return trace(all, best), true
}

func covered(all []label, f front, l *label) bool {
	for _, j := range f {
		if all[j].covers(l) {
			return true
		}
	}
	return false
}

// floor bounds from below how any sequence of the orders that are left ends.
//
// Each of them takes at least its shortest run with the least change into it. So
// the k-th of them to be done is done no sooner than the k shortest ones together;
// and of all ways to match such times with the orders' due times, that of both in
// rising order is late the least, since being late is convex in the time.
type floor struct {
	takes  []Time // by order
	byTime []int  // orders, the shortest first
	byDue  []int  // orders with a due time, the soonest first
	orders []Order
}

func newFloor(t *table) *floor {
	f := &floor{orders: t.p.Orders, takes: make([]Time, len(t.p.Orders))}
	for o := range t.p.Orders {
		for i, s := range t.of[o] {
			least := Time(-1)
			for from := range t.moved {
				if from < len(t.states) && t.states[from].order == o {
					continue
				}
				if c := t.change(from, s); least < 0 || c < least {
					least = c
				}
			}
			if v := least + t.run(s); i == 0 || v < f.takes[o] {
				f.takes[o] = v
			}
		}
		f.byTime = append(f.byTime, o)
		if t.p.Orders[o].Due > 0 {
			f.byDue = append(f.byDue, o)
		}
	}
	slices.SortStableFunc(f.byTime, func(a, b int) int { return cmp.Compare(f.takes[a], f.takes[b]) })
	slices.SortStableFunc(f.byDue, func(a, b int) int { return cmp.Compare(f.orders[a].Due, f.orders[b].Due) })
	return f
}

// end gives a label no worse than any that follows l once all orders are done that
// the set lacks.
func (f *floor) end(set int, l label) label {
	due := 0
	for _, o := range f.byTime {
		if set>>o&1 == 1 {
			continue
		}
		l.done += f.takes[o]
		for due < len(f.byDue) && set>>f.byDue[due]&1 == 1 {
			due++
		}
		if due < len(f.byDue) {
			l.late += max(l.done-f.orders[f.byDue[due]].Due, 0)
			due++
		}
	}
	return l
}
