package sequence

import (
	"cmp"
	"slices"
)

// mostWork bounds the labels that a climb works out, the same on every machine:
// many orders have more neighbours than are worth the while.
const mostWork = 20_000_000

// improve starts from the sequence given, from that by due times and from that
// which always changes least next, and moves stretches of up to three orders
// elsewhere and turns stretches round for as long as that helps.
func (t *table) improve(given []int) (label, []int) {
	byDue := slices.Clone(given)
	slices.SortStableFunc(byDue, func(a, b int) int {
		return cmp.Compare(t.dueOrLast(a), t.dueOrLast(b))
	})
	var best *walk
	for _, start := range []func() []int{func() []int { return given }, func() []int { return byDue }, t.nearest} {
		if best != nil && t.over() {
			break
		}
		if w := t.climb(start()); best == nil || w.end().less(best.end()) {
			best = w
		}
	}
	return *best.end(), best.states()
}

func (t *table) dueOrLast(o int) Time {
	if d := t.p.Orders[o].Due; d > 0 {
		return d
	}
	return 1 << 62
}

// nearest takes next what needs the least changing.
func (t *table) nearest() []int {
	from := t.start()
	done := make([]bool, len(t.p.Orders))
	var orders []int
	for range t.p.Orders {
		next := -1
		for s := range t.states {
			if !done[t.states[s].order] && (next < 0 || t.change(from, s) < t.change(from, next)) {
				next = s
			}
		}
		done[t.states[next].order] = true
		orders = append(orders, t.states[next].order)
		from = next
	}
	return orders
}

func (t *table) climb(orders []int) *walk {
	here, next := t.newWalk(orders), &walk{}
	n := len(orders)
	try := make([]int, n)
	until := t.work + mostWork
	// better goes there if what is tried, the same up to a place, is better.
	better := func(place int) bool {
		next.branch(here, place)
		if !t.follow(next, try, here.end()) {
			return false
		}
		here, next = next, here
		return true
	}
	for again := true; again; {
		again = false
		for i := range n {
			for j := range n {
				if t.work > until || t.over() {
					return here
				}
				for size := 1; size <= 3 && i+size <= n; size++ {
					if j+size <= n && j != i {
						moved(try, here.orders, i, size, j)
						again = better(min(i, j)) || again
					}
				}
				if i < j {
					copy(try, here.orders)
					slices.Reverse(try[i : j+1])
					again = better(i) || again
				}
			}
		}
	}
	return here
}

// moved puts the stretch of size orders at i so that it begins at j.
func moved(dst, orders []int, i, size, j int) {
	rest := slices.Concat(orders[:i], orders[i+size:])
	dst = append(dst[:0], rest[:j]...)
	dst = append(dst, orders[i:i+size]...)
	_ = append(dst, rest[j:]...)
}
