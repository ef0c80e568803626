package sequence

import (
	"cmp"
	"slices"
)

// floor is a lower bound on how any sequence of the remaining orders ends.
//
// Each takes at least its shortest run and the least change into it. So the k-th to be
// done is done no earlier than the k shortest ones together; of all ways to match such
// times with the orders' due times, matching both in ascending order gives the least
// lateness, since lateness is convex in time. Each order by itself is no less late, by
// its weight, than if it came next.
type floor struct {
	takes []Time // by order, as are the runs
	runs  []Time // the shortest
	// lightest is the least weight of an order with a due time.
	lightest Time
	byTime   []int // orders, shortest first
	byDue    []int // orders with a due time, earliest first
	orders   []Order
}

func newFloor(t *table) *floor {
	f := &floor{orders: t.p.Orders, takes: make([]Time, len(t.p.Orders)), runs: make([]Time, len(t.p.Orders)), lightest: never}
	for o := range t.p.Orders {
		for i, s := range t.of[o] {
			least := Time(-1)
			for from := range t.start() + 1 {
				if from < len(t.states) && t.states[from].order == o {
					continue
				}
				if c := t.change(from, s); least < 0 || c < least {
					least = c
				}
			}
			if v := least + t.states[s].run; i == 0 || v < f.takes[o] {
				f.takes[o] = v
			}
			if v := t.states[s].run; i == 0 || v < f.runs[o] {
				f.runs[o] = v
			}
		}
		f.byTime = append(f.byTime, o)
		if t.p.Orders[o].Due > 0 {
			f.lightest = min(f.lightest, max(t.p.Orders[o].Weight, 1))
			f.byDue = append(f.byDue, o)
		}
	}
	slices.SortStableFunc(f.byTime, func(a, b int) int { return cmp.Compare(f.takes[a], f.takes[b]) })
	slices.SortStableFunc(f.byDue, func(a, b int) int { return cmp.Compare(f.orders[a].Due, f.orders[b].Due) })
	return f
}

// end gives a label no worse than any that follows l once all orders not in the set are
// done.
func (f *floor) end(set int, l label) label {
	due := 0
	var matched, alone Time
	begin, ends := l.done, l.done
	for _, o := range f.byTime {
		if set>>o&1 == 1 {
			continue
		}
		l.done += f.takes[o]
		ends = max(ends, f.orders[o].Start+f.runs[o])
		if d := f.orders[o].Due; d > 0 {
			alone += max(begin+f.takes[o]-d, f.orders[o].Start+f.runs[o]-d, 0) * max(f.orders[o].Weight, 1)
		}
		for due < len(f.byDue) && set>>f.byDue[due]&1 == 1 {
			due++
		}
		if due < len(f.byDue) {
			matched += max(l.done-f.orders[f.byDue[due]].Due, 0)
			due++
		}
	}
	l.late += max(matched*f.lightest, alone)
	l.done = max(l.done, ends)
	return l
}
