package sequence

import (
	"cmp"
	"slices"
)

// improve starts from the sequence given, from that by due times and from that
// which always changes least next, and moves stretches of up to three orders
// elsewhere and turns stretches round for as long as that helps.
func (t *table) improve(given []int, stop func() bool) (label, []int) {
	byDue := slices.Clone(given)
	slices.SortStableFunc(byDue, func(a, b int) int {
		return cmp.Compare(t.dueOrLast(a), t.dueOrLast(b))
	})
	var best label
	var path []int
	for _, start := range [][]int{given, byDue, t.nearest()} {
		end, states := t.climb(start, stop)
		if path == nil || end.less(&best) {
			best, path = end, states
		}
	}
	return best, path
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
			if !done[t.states[s].order] && (next < 0 || t.change[from][s] < t.change[from][next]) {
				next = s
			}
		}
		done[t.states[next].order] = true
		orders = append(orders, t.states[next].order)
		from = next
	}
	return orders
}

func (t *table) climb(orders []int, stop func() bool) (label, []int) {
	best, path := t.along(orders)
	orders = slices.Clone(orders)
	try := func(next []int) bool {
		if l, p := t.along(next); l.less(&best) {
			best, path = l, p
			copy(orders, next)
			return true
		}
		return false
	}
	n := len(orders)
	next := make([]int, n)
	for better := true; better; {
		better = false
		for i := range n {
			for j := range n {
				if stop != nil && stop() {
					return best, path
				}
				for size := 1; size <= 3 && i+size <= n; size++ {
					if j+size <= n && j != i && try(moved(next, orders, i, size, j)) {
						better = true
					}
				}
				if i < j {
					copy(next, orders)
					slices.Reverse(next[i : j+1])
					if try(next) {
						better = true
					}
				}
			}
		}
	}
	return best, path
}

// moved puts the stretch of size orders at i so that it begins at j.
func moved(dst, orders []int, i, size, j int) []int {
	rest := slices.Concat(orders[:i], orders[i+size:])
	dst = append(dst[:0], rest[:j]...)
	dst = append(dst, orders[i:i+size]...)
	return append(dst, rest[j:]...)
}
