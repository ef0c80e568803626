package sequence

import (
	"cmp"
	"math"
	"slices"
)

// undueWeight is the weight of an order without a due time in the rule of apparent
// tardiness cost, which takes its logarithm: a thousandth of the least of the others, so
// that only changes and runs decide which of such orders comes first.
const undueWeight = 1e-3

// construct gives the best of several constructed sequences, each on the settings that
// are best for it: as given, on these states; by due time; by earliest start; the next
// order always that with the least change, with the least change and run, or with the
// least excess of these over its shortest run; and by the rule of apparent tardiness cost
// with setups (Lee, Bhaskaran and Pinedo 1997).
func (t *table) construct(given, states []int) []int {
	best := states
	end := t.end(best)
	var w *walk
	take := func(path []int) {
		if v := t.end(path); v.less(&end) {
			best, end = path, v
		}
		orders := make([]int, len(path))
		for i, s := range path {
			orders[i] = t.states[s].order
		}
		w = t.newWalk(orders, w)
		if w.end().less(&end) {
			best, end = w.states(), *w.end()
		}
	}
	sorted := func(key func(o int) Time) []int {
		orders := slices.Clone(given)
		slices.SortStableFunc(orders, func(a, b int) int { return cmp.Compare(key(a), key(b)) })
		path := make([]int, len(orders))
		for i, o := range orders {
			path[i] = t.of[o][0]
		}
		return path
	}
	shortest := make([]Time, len(t.of))
	var mean Time
	for o, of := range t.of {
		shortest[o] = t.states[slices.MinFunc(of, func(a, b int) int { return cmp.Compare(t.states[a].run, t.states[b].run) })].run
		mean += shortest[o] + t.minimum[o]
	}
	mean = mean/Time(len(t.of)) + 1
	var all []func() []int
	nearest := func(cost func(free Time, from, s int) float64) {
		all = append(all, func() []int { return t.nearest(cost) })
	}
	nearest(func(_ Time, from, s int) float64 { return float64(t.change(from, s)) })
	nearest(func(_ Time, from, s int) float64 { return float64(t.change(from, s) + t.states[s].run) })
	nearest(func(_ Time, from, s int) float64 {
		return float64(t.change(from, s) + t.states[s].run - shortest[t.states[s].order])
	})
	if t.timed {
		all = append(all,
			func() []int { return sorted(func(o int) Time { return t.states[t.of[o][0]].due }) },
			func() []int { return sorted(func(o int) Time { return t.states[t.of[o][0]].start }) })
		nearest(func(free Time, from, s int) float64 { return float64(t.done(free, from, s) - free) })
		for _, patience := range []float64{0.5, 1, 2, 4} {
			for _, changes := range []float64{0.25, 1} {
				nearest(func(free Time, from, s int) float64 {
					done := t.done(free, from, s)
					run := float64(t.states[s].run + 1)
					slack := float64(min(max(t.states[s].due-done, 0), never/4))
					weight := float64(t.states[s].weight)
					if t.states[s].due == never {
						weight = undueWeight
					}
					return math.Log(run/weight) + slack/(patience*float64(mean)) + float64(done-free-t.states[s].run)/(changes*float64(mean))
				})
			}
		}
	}
	for _, path := range all {
		if t.over() {
			break
		}
		if path := path(); path != nil {
			take(path)
		}
	}
	return best
}

// nearest always takes the state that costs least next; it gives nil if it was stopped.
func (t *table) nearest(cost func(free Time, from, s int) float64) []int {
	from, free := t.start(), Time(0)
	done := make([]bool, len(t.p.Orders))
	var path []int
	for range t.p.Orders {
		next, least := -1, 0.0
		for s := range t.states {
			if done[t.states[s].order] {
				continue
			}
			if v := cost(free, from, s); next < 0 || v < least {
				next, least = s, v
			}
			if t.spend(1) {
				return nil
			}
		}
		done[t.states[next].order] = true
		free = t.done(free, from, next)
		path = append(path, next)
		from = next
	}
	return path
}

// end is the label at the end of a sequence of states.
func (t *table) end(path []int) label {
	l := label{state: int32(t.start())}
	for _, s := range path {
		l.done = t.done(l.done, int(l.state), s)
		l.late += t.late(s, l.done)
		l.state = int32(s)
	}
	return l
}
