package sequence

import (
	"cmp"
	"slices"
)

// bounds computes what no sequence can be better than, or as much of it as the search has
// time for.
func (t *table) bounds(r *Result) {
	if t.stopped {
		return
	}
	f := newFloor(t)
	r.TotalBound = f.end(0, label{}).done
	r.TotalBound = max(r.TotalBound, t.release(f))
	if v, ok := t.predecessors(); ok {
		r.TotalBound = max(r.TotalBound, v)
	}
	if v, ok := t.tree(); ok {
		r.TotalBound = max(r.TotalBound, v)
	}
	r.LateBound = f.end(0, label{}).late
	if v, ok := t.places(f); ok {
		r.LateBound = max(r.LateBound, v)
	}
}

// release bounds the completion time: orders that cannot start before some time need all
// of their least times after it, except for the change into the first of them.
func (t *table) release(f *floor) (bound Time) {
	late := slices.Clone(f.byTime)
	slices.SortStableFunc(late, func(a, b int) int { return cmp.Compare(f.orders[b].Start, f.orders[a].Start) })
	var takes, change Time
	for _, o := range late {
		takes += f.takes[o]
		change = max(change, f.takes[o]-f.runs[o])
		bound = max(bound, f.orders[o].Start+takes-change)
	}
	return bound
}

// places bounds the lateness of a sequence. The order in the k-th place is done no
// earlier than its own least time plus those of the k-1 shortest others; the best
// assignment of orders to places by those times is an assignment problem.
func (t *table) places(f *floor) (Time, bool) {
	n := len(f.orders)
	cost := make([][]Time, n)
	for o := range cost {
		cost[o] = make([]Time, n)
		d := f.orders[o].Due
		if d == 0 {
			continue
		}
		w := max(f.orders[o].Weight, 1)
		own, before, k := f.takes[o], Time(0), 0
		for _, other := range append(f.byTime, -1) {
			if other == o {
				continue
			}
			cost[o][k] = max(before+own-d, f.orders[o].Start+f.runs[o]-d, 0) * w
			if k++; k == n {
				break
			}
			before += f.takes[other]
		}
	}
	return t.assign(cost)
}

// predecessors bounds the completion time: each order has a predecessor, an order or the
// start, that no other order has.
func (t *table) predecessors() (Time, bool) {
	n := len(t.p.Orders)
	cost := make([][]Time, n)
	for o := range cost {
		cost[o] = make([]Time, n+1)
		for from := range cost[o] {
			cost[o][from] = never
			if from == o {
				continue
			}
			t.spend(int64(1 + len(t.of[o])))
			for _, s := range t.of[o] {
				for _, b := range t.at(from) {
					cost[o][from] = min(cost[o][from], t.change(b, s)+t.states[s].run)
				}
			}
		}
		if t.stopped {
			return 0, false
		}
	}
	return t.assign(cost)
}

// at gives the states of an order, or the one at the start for the number after the last.
func (t *table) at(order int) []int {
	if order == len(t.of) {
		return []int{t.start()}
	}
	return t.of[order]
}

// assign assigns every row a different column at the least cost, by shortest augmenting
// paths (Kuhn 1955; the form with potentials is common practice).
func (t *table) assign(cost [][]Time) (Time, bool) {
	n, m := len(cost), len(cost[0])
	row := make([]Time, n+1)
	column := make([]Time, m+1)
	taken := make([]int, m+1) // by column: its row, from 1
	way := make([]int, m+1)
	least := make([]Time, m+1)
	used := make([]bool, m+1)
	for i := 1; i <= n; i++ {
		taken[0] = i
		at := 0
		for j := range least {
			least[j], used[j] = 1<<62, false
		}
		for taken[at] != 0 {
			if t.spend(int64(m / 8)) {
				return 0, false
			}
			used[at] = true
			from, delta, next := taken[at], Time(1)<<62, 0
			for j := 1; j <= m; j++ {
				if used[j] {
					continue
				}
				if v := cost[from-1][j-1] - row[from] - column[j]; v < least[j] {
					least[j], way[j] = v, at
				}
				if least[j] < delta {
					delta, next = least[j], j
				}
			}
			for j := range used {
				if used[j] {
					row[taken[j]] += delta
					column[j] -= delta
				} else {
					least[j] -= delta
				}
			}
			at = next
		}
		for at != 0 {
			taken[at] = taken[way[at]]
			at = way[at]
		}
	}
	var sum Time
	for j := 1; j <= m; j++ {
		if taken[j] > 0 {
			sum += cost[taken[j]-1][j-1]
		}
	}
	return sum, true
}
