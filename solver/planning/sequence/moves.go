package sequence

// climb improves a course around the queued orders until no move of any of them helps. A
// move is the best of all moves of one order; the orders that it affects are queued
// again.
type climb struct {
	*course
	queue  []int // orders to try
	queued []bool

	near   [][]int32 // by order: those that need little change beside it
	window int       // how many places away an order is tried, in addition to those near it
	gaps   []int     // where the current order is tried: before these places
	haste  float64   // weight of a millisecond of completion time relative to one of lateness
	stamp  []int
	stamps int

	// The best move of the current order.
	best   label
	a, b   int
	pieces [4]piece
	count  int
	buffer [4]piece
}

func newClimb(c *course) *climb {
	n := len(c.placeOf)
	return &climb{course: c, queued: make([]bool, n), near: c.t.near, window: n, stamp: make([]int, n+1)}
}

// look queues the orders at places a to b.
func (c *climb) look(a, b int) {
	for k := max(a, 0); k < min(b, len(c.path)); k++ {
		if o := c.t.states[c.path[k]].order; !c.queued[o] {
			c.queued[o] = true
			c.queue = append(c.queue, o)
		}
	}
}

// forget empties the queue.
func (c *climb) forget() {
	c.queue = c.queue[:0]
	clear(c.queued)
}

// run ends early once the work exceeds until.
func (c *climb) run(until int64) {
	for len(c.queue) > 0 {
		o := c.queue[0]
		c.queue = c.queue[1:]
		c.queued[o] = false
		for c.improve(o) {
			if c.t.spend(0) || c.t.work > until {
				break
			}
		}
		if c.t.spend(0) || c.t.work > until {
			c.forget()
			return
		}
	}
	c.queue = c.queue[:0]
}

// offer tries a move and keeps it if it is the best so far.
func (c *climb) offer(a, b int, pieces ...piece) {
	if c.t.timed {
		if end := c.glance(a, pieces, b); !end.less(&c.best) {
			c.t.work += 4
			return
		}
	}
	if end := c.try(a, pieces, b); end.less(&c.best) {
		c.best, c.a, c.b = end, a, b
		c.count = copy(c.pieces[:], pieces)
	}
}

// improve makes the best move of an order, if one helps.
func (c *climb) improve(o int) bool {
	c.best, c.count = c.end(), 0
	i := c.placeOf[o]
	c.settings(i)
	c.find(o, i)
	c.move(i)
	for size := 2; size <= 4; size++ {
		c.stretch(i, i+size)
		c.stretch(i+1-size, i+1)
	}
	c.exchange(i)
	c.turn(i)
	if c.count == 0 {
		return false
	}
	// Places where the course is cut and joined again.
	var around [12]int
	joins := around[:0]
	at := c.a
	joins = append(joins, at)
	for _, p := range c.pieces[:c.count] {
		if p.state >= 0 {
			at++
		} else {
			at += p.b - p.a
		}
		joins = append(joins, at)
	}
	c.set(c.a, c.pieces[:c.count], c.b)
	for _, j := range joins {
		c.look(j-1, j+1)
	}
	return true
}

// find lists the places where the order at a place is tried.
func (c *climb) find(o, i int) {
	n := len(c.path)
	c.gaps = c.gaps[:0]
	c.stamps++
	from, to := max(i-c.window, 0), min(i+c.window+1, n)
	for j := from; j <= to; j++ {
		c.gaps = append(c.gaps, j)
	}
	for _, other := range c.near[o] {
		for j := c.placeOf[other]; j <= c.placeOf[other]+1; j++ {
			if (j < from || j > to) && c.stamp[j] != c.stamps {
				c.stamp[j] = c.stamps
				c.gaps = append(c.gaps, j)
			}
		}
	}
}

// settings tries the other settings of an order.
func (c *climb) settings(i int) {
	for _, s := range c.t.of[c.t.states[c.path[i]].order] {
		if s != c.path[i] {
			c.buffer[0] = piece{state: s}
			c.offer(i, i+1, c.buffer[:1]...)
		}
	}
}

// fitting gives the state of an order that takes the least time between two others; next
// may be -1.
func (c *climb) fitting(o, last, next int) (best int) {
	t := c.t
	of := t.of[o]
	t.work += int64(2 + len(of))
	if len(of) == 1 {
		return of[0]
	}
	before, after := t.changes(last), []uint8(nil)
	if next >= 0 {
		after = t.changes(next) // as long as in reverse
	}
	least := Time(1) << 62
	for _, s := range of {
		k := t.states[s].class
		v := t.costs[before[k]] + t.states[s].run
		if after != nil {
			v += t.costs[after[k]]
		}
		if v < least {
			best, least = s, v
		}
	}
	return best
}

func (c *climb) at(place int) int {
	switch {
	case place < 0:
		return c.t.start()
	case place < len(c.path):
		return c.path[place]
	}
	return -1
}

// move tries an order in other places.
func (c *climb) move(i int) {
	o := c.t.states[c.path[i]].order
	p := &c.buffer
	for _, j := range c.gaps {
		if j == i || j == i+1 {
			continue
		}
		s := c.fitting(o, c.at(j-1), c.at(j))
		if j < i {
			p[0], p[1] = piece{state: s}, piece{-1, j, i, false}
			c.offer(j, i+1, p[:2]...)
		} else {
			p[0], p[1] = piece{-1, i + 1, j, false}, piece{state: s}
			c.offer(i, j, p[:2]...)
		}
	}
}

// stretch tries the orders at places a to b in other places, also reversed if that is
// cheap to evaluate.
func (c *climb) stretch(a, b int) {
	if a < 0 || b > len(c.path) {
		return
	}
	p := &c.buffer
	for _, j := range c.gaps {
		if j >= a && j <= b {
			continue
		}
		for _, turned := range []bool{false, true} {
			if j < a {
				p[0], p[1] = piece{-1, a, b, turned}, piece{-1, j, a, false}
				c.offer(j, b, p[:2]...)
			} else {
				p[0], p[1] = piece{-1, b, j, false}, piece{-1, a, b, turned}
				c.offer(a, j, p[:2]...)
			}
			if c.t.timed {
				break
			}
		}
	}
}

// exchange tries exchanging an order with another.
func (c *climb) exchange(i int) {
	p := &c.buffer
	for _, j := range c.gaps {
		a, b := min(i, j), max(i, j)
		if b < a+2 || b == len(c.path) {
			continue
		}
		first := c.fitting(c.t.states[c.path[b]].order, c.at(a-1), c.at(a+1))
		second := c.fitting(c.t.states[c.path[a]].order, c.at(b-1), c.at(b+1))
		p[0], p[1], p[2] = piece{state: first}, piece{-1, a + 1, b, false}, piece{state: second}
		c.offer(a, b+1, p[:3]...)
	}
}

// longestTurn is the longest stretch that is reversed if times count.
const longestTurn = 12

// turn tries reversing stretches that begin or end at a place.
func (c *climb) turn(i int) {
	for _, j := range c.gaps {
		// In the reversed stretch the current order comes next to the place before or at
		// the gap.
		a, b := i, j
		if j <= i {
			a, b = j, i+1
		}
		if b < a+2 || c.t.timed && b > a+longestTurn {
			continue
		}
		c.buffer[0] = piece{-1, a, b, true}
		c.offer(a, b, c.buffer[:1]...)
	}
}
