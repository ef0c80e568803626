package sequence

import (
	"cmp"
	"slices"
)

// rises is how often the tree's prices are raised.
const rises = 80

// tree bounds the completion time by spanning trees with prices on orders (Held and Karp
// 1970): a sequence is a path from the start. A change between two orders counts with
// half of the run of both, on the settings for which that is least, so everything is
// doubled.
func (t *table) tree() (Time, bool) {
	n := len(t.p.Orders)
	edge := make([][]Time, n+1)
	for a := range edge {
		edge[a] = make([]Time, n+1)
	}
	shortest := never
	for a := range n + 1 {
		for _, s := range t.at(a) {
			if a < n {
				shortest = min(shortest, t.states[s].run)
			}
		}
		for b := range a {
			t.spend(int64(1 + len(t.at(a))))
			v := never
			for _, s := range t.at(a) {
				run := Time(0)
				if a < n {
					run = t.states[s].run
				}
				for _, u := range t.of[b] {
					v = min(v, 2*t.change(s, u)+run+t.states[u].run)
				}
			}
			edge[a][b], edge[b][a] = v, v
		}
		if t.stopped {
			return 0, false
		}
	}
	t.neighbours(edge)
	price := make([]Time, n+1)
	degree := make([]int, n+1)
	var best Time
	step := Time(0)
	for i := range rises {
		sum := grow(edge, price, degree)
		if t.spend(int64(n*n/8)) && i > 0 {
			break
		}
		last := price[0]
		for o := range n {
			sum -= 2 * price[o]
			last = min(last, price[o])
		}
		// The start has one neighbour, and so has the last order.
		best = max(best, sum-price[n]+last+shortest)
		if i == 0 {
			step = sum / Time(8*(n+1))
		}
		for o := range n {
			price[o] += step * Time(degree[o]-2)
		}
		price[n] += step * Time(degree[n]-1)
		step -= step / 12
	}
	return (best + 1) / 2, true
}

// fewNear is the number of orders that are near another.
const fewNear = 24

// neighbours finds the orders that need the least change beside each and do not run
// longer for it; of equals, those with the closest due time and start.
func (t *table) neighbours(edge [][]Time) {
	n := len(t.p.Orders)
	t.near = make([][]int32, n)
	shortest := make([]Time, n)
	for o, of := range t.of {
		shortest[o] = never
		for _, s := range of {
			shortest[o] = min(shortest[o], t.states[s].run)
		}
	}
	for o := range n {
		var all []int32
		for other := range n {
			if other != o {
				all = append(all, int32(other))
			}
		}
		beside := func(b int32) Time { return edge[o][b] - shortest[b] }
		apart := func(b int32) Time { return t.p.Orders[o].apart(&t.p.Orders[b]) }
		slices.SortStableFunc(all, func(a, b int32) int {
			return cmp.Or(cmp.Compare(beside(a), beside(b)), cmp.Compare(apart(a), apart(b)))
		})
		t.near[o] = slices.Clone(all[:min(fewNear, len(all))])
	}
}

// apart is how far apart the due times and starts of two orders are.
func (o *Order) apart(other *Order) Time {
	v := max(o.Start-other.Start, other.Start-o.Start)
	if o.Due > 0 && other.Due > 0 {
		v += max(o.Due-other.Due, other.Due-o.Due)
	}
	return v
}

// grow gives the weight of the minimum spanning tree with prices at both ends of each
// edge, and the number of its edges at each order (Prim 1957).
func grow(edge [][]Time, price []Time, degree []int) (sum Time) {
	n := len(price)
	near := make([]Time, n)
	to := make([]int, n)
	in := make([]bool, n)
	for i := range near {
		near[i], degree[i] = 1<<62, 0
	}
	at := n - 1
	in[at] = true
	for range n - 1 {
		next := -1
		for i := range n {
			if in[i] {
				continue
			}
			if v := edge[at][i] + price[at] + price[i]; v < near[i] {
				near[i], to[i] = v, at
			}
			if next < 0 || near[i] < near[next] {
				next = i
			}
		}
		sum += near[next]
		degree[next]++
		degree[to[next]]++
		in[next], at = true, next
	}
	return sum
}
