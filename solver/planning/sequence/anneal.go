package sequence

import (
	"math"
	"math/rand/v2"
)

// cooling is how annealing cools: the temperatures at which it begins and ends, relative
// to what an order takes on average, and the weight of completion time in between,
// relative to its usual weight, if something is late.
type cooling struct{ hot, cold, haste, lastHaste float64 }

var (
	// coarse finds the least lateness. What came below its end was worth 0.2 % at most on
	// three days of 200 orders.
	coarse = cooling{hot: 3, cold: 0.15, haste: 1, lastHaste: 0.2}
	// fine goes on from there to the earliest completion.
	fine = cooling{hot: 0.15, cold: 0.0006, haste: 0.2, lastHaste: 0.2}
	// untimed is for orders without due times and starts.
	untimed = cooling{hot: 0.05, cold: 0.003, haste: 1, lastHaste: 1}
)

// anneal makes random moves until a fraction of the whole budget is spent, and accepts
// moves that make the course worse the less often the cooler it is (Kirkpatrick, Gelatt
// and Vecchi 1983).
func (f *finder) anneal(until float64, as cooling) {
	begin := f.spent()
	if begin >= until {
		return
	}
	haste := f.haste
	defer func() { f.haste = haste }()
	mean := haste * float64(f.end.done) / float64(len(f.path))
	var here, heat float64
	for k := 0; ; k++ {
		if k%steady == 0 {
			part := (f.spent() - begin) / (until - begin)
			if f.t.spend(0) || part >= 1 {
				return
			}
			heat = as.hot * mean * math.Pow(as.cold/as.hot, part)
			if f.haste = haste; f.end.late > 0 {
				f.haste *= as.haste * math.Pow(as.lastHaste/as.haste, part)
			}
			here = f.energy(f.course.end())
		}
		a, b, pieces := f.draw(f.random)
		if pieces == nil {
			continue
		}
		most := here + heat*f.random.ExpFloat64()
		if f.t.timed {
			f.t.work += 2
			if f.energy(f.glance(a, pieces, b)) > most {
				continue
			}
		}
		next := f.try(a, pieces, b)
		if f.energy(next) > most {
			continue
		}
		f.set(a, pieces, b)
		here = f.energy(next)
		f.keep()
	}
}

// steady is the number of moves at one temperature.
const steady = 100

// energy is what annealing minimizes: total lateness, and a little of the completion
// time.
func (c *climb) energy(l label) float64 {
	return float64(l.late) + c.haste*float64(l.done)
}

// draw gives a random move; nil: none.
func (c *climb) draw(random *rand.Rand) (a, b int, pieces []piece) {
	n := len(c.path)
	i := random.IntN(n)
	o := c.t.states[c.path[i]].order
	p := &c.buffer
	c.t.work += 2
	kind := random.IntN(16)
	of := c.t.of[o]
	if kind == 0 && len(of) > 1 {
		return c.other(i, random)
	}
	// Beside an order that is near, or some places away.
	var j int
	if near := c.near[o]; random.IntN(2) == 0 && len(near) > 0 {
		j = c.placeOf[near[random.IntN(len(near))]] + random.IntN(2)
	} else {
		j = i + random.IntN(2*reach+1) - reach
	}
	if j < 0 || j > n || j == i || j == i+1 {
		return 0, 0, nil
	}
	switch {
	case kind < 8:
		s := c.fitting(o, c.at(j-1), c.at(j))
		if j < i {
			p[0], p[1] = piece{state: s}, piece{-1, j, i, false}
			return j, i + 1, p[:2]
		}
		p[0], p[1] = piece{-1, i + 1, j, false}, piece{state: s}
		return i, j, p[:2]
	case kind < 11:
		a, b := min(i, j), max(i, j)
		if b < a+2 || b == n {
			return 0, 0, nil
		}
		first := c.fitting(c.t.states[c.path[b]].order, c.at(a-1), c.at(a+1))
		second := c.fitting(c.t.states[c.path[a]].order, c.at(b-1), c.at(b+1))
		p[0], p[1], p[2] = piece{state: first}, piece{-1, a + 1, b, false}, piece{state: second}
		return a, b + 1, p[:3]
	case kind < 14:
		size := 2 + random.IntN(7)
		turned := !c.t.timed && random.IntN(2) == 0
		from, to := i, i+size
		if random.IntN(2) == 0 {
			from, to = i+1-size, i+1
		}
		switch {
		case from < 0 || to > n || j >= from && j <= to:
			return 0, 0, nil
		case j < from:
			p[0], p[1] = piece{-1, from, to, turned}, piece{-1, j, from, false}
			return j, to, p[:2]
		}
		p[0], p[1] = piece{-1, to, j, false}, piece{-1, from, to, turned}
		return from, j, p[:2]
	}
	a, b = i, j
	if j <= i {
		a, b = j, i+1
	}
	if b < a+2 || c.t.timed && b > a+longestTurn {
		return 0, 0, nil
	}
	p[0] = piece{-1, a, b, true}
	return a, b, p[:1]
}

// other puts an order on another of its settings, and now and then an order beside it on
// the setting that fits the new one best.
func (c *climb) other(i int, random *rand.Rand) (a, b int, pieces []piece) {
	of := c.t.of[c.t.states[c.path[i]].order]
	s := of[random.IntN(len(of)-1)]
	if s == c.path[i] {
		s = of[len(of)-1]
	}
	a, b, pieces = i, i+1, c.buffer[:0]
	if a > 0 && random.IntN(2) == 0 {
		a--
		pieces = append(pieces, piece{state: c.fitting(c.t.states[c.path[a]].order, c.at(a-1), s)})
	}
	pieces = append(pieces, piece{state: s})
	if b < len(c.path) && random.IntN(2) == 0 {
		pieces = append(pieces, piece{state: c.fitting(c.t.states[c.path[b]].order, s, c.at(b+1))})
		b++
	}
	return a, b, pieces
}

// reach is the greatest distance, in places, of a random move.
const reach = 25
