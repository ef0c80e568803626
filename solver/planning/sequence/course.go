package sequence

// course is a sequence of states with its times, and sums that give its end quickly when
// a part of it moves in time.
type course struct {
	t       *table
	path    []int // states, by place
	placeOf []int // by order
	places  []place
	chunks  []chunk
	spare   []int
}

// place is what a course knows of a place, in one line of the cache. One more follows the
// last, for the sums.
type place struct {
	change                  Time // before it
	run, start, due, weight Time // of its state
	done                    Time
	// lateBefore is the weighted lateness of what precedes it, heavyBefore the weight of
	// what is late among it, dueBefore that of what is late or done exactly when due, and
	// waitBefore the time that it waits.
	lateBefore, heavyBefore, dueBefore, waitBefore Time
}

func newCourse(t *table, path []int) *course {
	n := len(path)
	c := &course{
		t: t, path: append([]int(nil), path...), placeOf: make([]int, n), spare: make([]int, n),
		places: make([]place, n+1), chunks: make([]chunk, (n+chunkSize-1)/chunkSize),
	}
	c.renew(0, len(c.path))
	return c
}

func (c *course) end() label {
	n := len(c.path)
	return label{late: c.places[n].lateBefore, done: c.places[n-1].done}
}

// before gives the state before place a and when it is done.
func (c *course) before(a int) (last int, free Time) {
	if a == 0 {
		return c.t.start(), 0
	}
	return c.path[a-1], c.places[a-1].done
}

// renew recomputes everything from place a on. From place b on the path is unchanged.
func (c *course) renew(a, b int) {
	t := c.t
	last, free := c.before(a)
	n := len(c.path)
	same, by := 0, Time(0) // number of preceding places that have moved by the same time, and that time
	// Sums up to the place.
	at := &c.places[a]
	late, heavy, due, wait := at.lateBefore, at.heavyBefore, at.dueBefore, at.waitBefore
	for k := a; k < n; k++ {
		at := &c.places[k]
		if k <= b { // after b the preceding state is the same too
			s := c.path[k]
			st := &t.states[s]
			c.placeOf[st.order] = k
			at.change = t.change(last, s)
			at.run, at.start, at.due, at.weight = st.run, st.start, st.due, st.weight
			last = s
		}
		at.lateBefore, at.heavyBefore, at.dueBefore, at.waitBefore = late, heavy, due, wait
		ready := free + at.change
		begin := max(ready, at.start)
		wait += begin - ready
		free = begin + at.run
		moved := free - at.done
		at.done = free
		if free >= at.due {
			due += at.weight
			if free > at.due {
				heavy += at.weight
				late += (free - at.due) * at.weight
			}
		}
		if same++; k <= b || moved != by {
			same, by = 0, moved
		}
		if (k+1)%chunkSize == 0 || k+1 == n {
			i := k / chunkSize
			if c.chunks[i].made && same > k-i*chunkSize {
				c.chunks[i].move(by)
			} else {
				c.chunks[i].made = false
			}
		}
	}
	at = &c.places[n]
	at.lateBefore, at.heavyBefore, at.dueBefore, at.waitBefore = late, heavy, due, wait
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
			return late + c.places[b].lateBefore - c.places[k].lateBefore, 0
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
		at := &c.places[k]
		done := max(c.places[k-1].done+by+at.change, at.start) + at.run
		by = done - at.done
		late += max(done-at.due, 0) * at.weight
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
	late := c.places[a].lateBefore
	for i := range pieces {
		p := &pieces[i]
		switch {
		case p.state >= 0:
			free = t.done(free, last, p.state)
			late += t.late(p.state, free)
			last = p.state
		case p.a >= p.b:
		case p.turned && !t.timed:
			inner := c.places[p.b-1].done - c.places[p.a].done + t.states[c.path[p.a]].run
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
	late := c.places[a].lateBefore
	follow := func(a, b int) {
		s := c.path[a]
		by := t.done(free, last, s) - c.places[a].done
		late += c.places[b].lateBefore - c.places[a].lateBefore
		if by < 0 {
			late += by * (c.places[b].heavyBefore - c.places[a].heavyBefore)
		} else {
			by = max(by-(c.places[b].waitBefore-c.places[a+1].waitBefore), 0)
			late += by * (c.places[b].dueBefore - c.places[a].dueBefore)
		}
		free, last = c.places[b-1].done+by, c.path[b-1]
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
	late = max(done-c.places[a].due, 0) * c.places[a].weight
	l, by := c.shift(a+1, b, done-c.places[a].done)
	return c.places[b-1].done + by, late + l
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
