package sequence

// course is a sequence of states with its times, and sums that give its end quickly when
// a part of it moves in time.
type course struct {
	t          *table
	path       []int  // states, by place
	place      []int  // by order
	change     []Time // before each place
	done       []Time
	due        []Time
	weight     []Time
	lateBefore []Time // weighted lateness of what precedes each place, and of all
	// heavyBefore is the weight of what is late among it, and dueBefore that of what is
	// late or done exactly when due.
	heavyBefore, dueBefore []Time
	waitBefore             []Time // waiting time of the places before each, and of all
	chunks                 []chunk
	spare                  []int
}

func newCourse(t *table, path []int) *course {
	n := len(path)
	c := &course{
		t: t, path: append([]int(nil), path...), place: make([]int, n), spare: make([]int, n),
		change: make([]Time, n), done: make([]Time, n), due: make([]Time, n), weight: make([]Time, n),
		lateBefore: make([]Time, n+1), heavyBefore: make([]Time, n+1), dueBefore: make([]Time, n+1), waitBefore: make([]Time, n+1), chunks: make([]chunk, (n+chunkSize-1)/chunkSize),
	}
	c.renew(0, len(c.path))
	return c
}

func (c *course) end() label {
	n := len(c.path)
	return label{late: c.lateBefore[n], done: c.done[n-1]}
}

// before gives the state before place a and when it is done.
func (c *course) before(a int) (last int, free Time) {
	if a == 0 {
		return c.t.start(), 0
	}
	return c.path[a-1], c.done[a-1]
}

// renew recomputes everything from place a on. From place b on the path is unchanged.
func (c *course) renew(a, b int) {
	t := c.t
	last, free := c.before(a)
	same, by := 0, Time(0) // number of preceding places that have moved by the same time, and that time
	for k := a; k < len(c.path); k++ {
		s := c.path[k]
		before := c.done[k]
		if k <= b { // after b the preceding state is the same too
			c.place[t.orderOf[s]] = k
			c.change[k] = t.change(last, s)
			c.due[k], c.weight[k] = t.dues[s], t.weights[s]
		}
		ready := free + c.change[k]
		begin := max(ready, t.starts[s])
		c.waitBefore[k+1] = c.waitBefore[k] + begin - ready
		free = begin + t.runs[s]
		c.done[k] = free
		c.lateBefore[k+1] = c.lateBefore[k] + max(free-c.due[k], 0)*c.weight[k]
		c.heavyBefore[k+1], c.dueBefore[k+1] = c.heavyBefore[k], c.dueBefore[k]
		if free >= c.due[k] {
			c.dueBefore[k+1] += c.weight[k]
			if free > c.due[k] {
				c.heavyBefore[k+1] += c.weight[k]
			}
		}
		last = s
		if same++; k <= b || free-before != by {
			same, by = 0, free-before
		}
		if i := k / chunkSize; (k+1)%chunkSize == 0 || k+1 == len(c.path) {
			if c.chunks[i].made && same > k-i*chunkSize {
				c.chunks[i].move(by)
			} else {
				c.chunks[i].made = false
			}
		}
	}
}

// shift gives the weighted lateness of places a to b if what precedes place a is done
// later by some time, and how much later what follows b is.
func (c *course) shift(a, b int, by Time) (late, then Time) {
	if !c.t.timed || a >= b {
		return 0, by
	}
	t := c.t
	for k := a; k < b; {
		if by == 0 {
			return late + c.lateBefore[b] - c.lateBefore[k], 0
		}
		t.work++
		if k%chunkSize == 0 && (k+chunkSize <= b || b == len(c.path)) {
			ch := &c.chunks[k/chunkSize]
			if !ch.made {
				c.sum(k / chunkSize)
			}
			if ch.passes(by) {
				late += ch.late(by)
				k = min(k+chunkSize, b)
				continue
			}
		}
		s := c.path[k]
		done := max(c.done[k-1]+by+c.change[k], t.starts[s]) + t.runs[s]
		by = done - c.done[k]
		late += max(done-c.due[k], 0) * c.weight[k]
		k++
	}
	return late, by
}

// piece is a part of a changed course: a state, or places a to b unchanged or reversed.
type piece struct {
	state  int // or -1
	a, b   int
	turned bool
}

// try gives the label at the end of the course if pieces replace its places a to b.
func (c *course) try(a int, pieces []piece, b int) label {
	t := c.t
	t.work += 4
	last, free := c.before(a)
	late := c.lateBefore[a]
	for i := range pieces {
		p := &pieces[i]
		switch {
		case p.state >= 0:
			free = t.done(free, last, p.state)
			late += t.late(p.state, free)
			last = p.state
		case p.a >= p.b:
		case p.turned && !t.timed:
			inner := c.done[p.b-1] - c.done[p.a] + t.runs[c.path[p.a]]
			free += t.change(last, c.path[p.b-1]) + inner
			last = c.path[p.a]
		case p.turned:
			for k := p.b - 1; k >= p.a; k-- {
				s := c.path[k]
				free = t.done(free, last, s)
				late += t.late(s, free)
				last = s
			}
			t.work += int64(p.b - p.a)
		default:
			var l Time
			free, l = c.follow(p.a, p.b, last, free)
			late += l
			last = c.path[p.b-1]
		}
	}
	if n := len(c.path); b < n {
		var l Time
		free, l = c.follow(b, n, last, free)
		late += l
	}
	return label{late: late, done: free}
}

// glance gives a fast lower bound of try: the lateness of places is convex in their
// start, so its slopes bound it. A delay greater than the waits on its way moves
// everything by at least the rest.
func (c *course) glance(a int, pieces []piece, b int) label {
	t := c.t
	last, free := c.before(a)
	late := c.lateBefore[a]
	follow := func(a, b int) {
		s := c.path[a]
		by := t.done(free, last, s) - c.done[a]
		late += c.lateBefore[b] - c.lateBefore[a]
		if by < 0 {
			late += by * (c.heavyBefore[b] - c.heavyBefore[a])
		} else {
			by = max(by-(c.waitBefore[b]-c.waitBefore[a+1]), 0)
			late += by * (c.dueBefore[b] - c.dueBefore[a])
		}
		free, last = c.done[b-1]+by, c.path[b-1]
	}
	for i := range pieces {
		p := &pieces[i]
		switch {
		case p.state >= 0:
			free = t.done(free, last, p.state)
			late += t.late(p.state, free)
			last = p.state
		case p.a >= p.b:
		case p.turned:
			for k := p.b - 1; k >= p.a; k-- {
				s := c.path[k]
				free = t.done(free, last, s)
				late += t.late(s, free)
				last = s
			}
			t.work += int64(p.b - p.a)
		default:
			follow(p.a, p.b)
		}
	}
	if b < len(c.path) {
		follow(b, len(c.path))
	}
	return label{late: late, done: free}
}

// follow gives when places a to b are done after another state, and how late they are.
func (c *course) follow(a, b, last int, free Time) (done, late Time) {
	s := c.path[a]
	done = c.t.done(free, last, s)
	late = max(done-c.due[a], 0) * c.weight[a]
	l, by := c.shift(a+1, b, done-c.done[a])
	return c.done[b-1] + by, late + l
}

// set replaces places a to b by pieces.
func (c *course) set(a int, pieces []piece, b int) {
	next := append(c.spare[:0], c.path[:a]...)
	for _, p := range pieces {
		switch {
		case p.state >= 0:
			next = append(next, p.state)
		case p.turned:
			for k := p.b - 1; k >= p.a; k-- {
				next = append(next, c.path[k])
			}
		default:
			next = append(next, c.path[p.a:p.b]...)
		}
	}
	next = append(next, c.path[b:]...)
	c.spare, c.path = c.path, next
	c.renew(a, b)
	c.t.work += int64(len(c.path) - a)
}

// put replaces the whole course.
func (c *course) put(path []int) {
	copy(c.path, path)
	c.renew(0, len(c.path))
}
