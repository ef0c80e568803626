package sequence

// chunkSize is the number of places in a chunk.
const chunkSize = 16

// chunk sums up places, so that their lateness is known at once if they all move by some
// time: it is convex and piecewise linear, with a corner where an order becomes late.
type chunk struct {
	made  bool
	moved Time // shift of all places since it was made
	// by is the lateness of each place with a due time, negative if early, in descending
	// order.
	by [chunkSize]Time
	// weight is the weight of the first places of by, and lateness their weighted
	// lateness, by their number.
	weight, lateness [chunkSize + 1]Time
	waits            bool // some place waits for its start: a later start shortens the wait
	sooner           Time // how much earlier all can start
}

// sum makes a chunk afresh.
func (c *course) sum(i int) {
	t, ch := c.t, &c.chunks[i]
	ch.made, ch.moved, ch.waits, ch.sooner = true, 0, false, never
	from, to := i*chunkSize, min((i+1)*chunkSize, len(c.path))
	var weights [chunkSize]Time
	n := 0
	for k := from; k < to; k++ {
		at := &c.places[k]
		if t.waits {
			before := Time(0)
			if k > 0 {
				before = c.places[k-1].done
			}
			ch.waits = ch.waits || at.done-at.run-at.change > before
			if at.start > 0 {
				ch.sooner = min(ch.sooner, at.done-at.run-at.start)
			}
		}
		if at.due == never {
			continue
		}
		v, j := at.done-at.due, n
		for ; j > 0 && ch.by[j-1] < v; j-- {
			ch.by[j], weights[j] = ch.by[j-1], weights[j-1]
		}
		ch.by[j], weights[j] = v, at.weight
		n++
	}
	for j := range n {
		ch.weight[j+1] = ch.weight[j] + weights[j]
		ch.lateness[j+1] = ch.lateness[j] + weights[j]*ch.by[j]
	}
	for j := n; j < chunkSize; j++ {
		ch.by[j] = -never
	}
}

// move shifts all places by the same time.
func (ch *chunk) move(by Time) {
	ch.moved += by
	if ch.sooner != never {
		ch.sooner += by
	}
}

// passes reports whether all places move by the same time as what precedes them.
func (ch *chunk) passes(by Time) bool {
	return by >= -ch.sooner && (by < 0 || !ch.waits)
}

// late gives the weighted lateness of the places if all move by some time.
func (ch *chunk) late(by Time) Time {
	by += ch.moved
	n := 0
	for step := chunkSize / 2; step > 0; step /= 2 {
		if ch.by[n+step-1] > -by {
			n += step
		}
	}
	if ch.by[n] > -by {
		n++
	}
	return ch.lateness[n] + by*ch.weight[n]
}
