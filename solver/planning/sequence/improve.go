package sequence

import "math/rand/v2"

// finder looks for better sequences and keeps the best.
type finder struct {
	*climb
	t      *table
	r      *Result
	random *rand.Rand
	began  int64 // the work that had been done before
	until  int64 // no more work than this
	best   []int
	end    label // of the best
	walk   *walk
}

// improve begins with a sequence of states and gives the best that it finds until so
// much work is done, or nothing can be better. In rounds, each twice as long as the one
// before, it anneals and wanders from the best: the one finds more where hardly anything
// or nearly all is late, the other between. The last round ends with the search: half of
// the longest annealing is worth less than all of the one before.
func (t *table) improve(path []int, until int64, r *Result) []int {
	if t.near == nil { // stopped
		return path
	}
	f := &finder{climb: newClimb(newCourse(t, path)), t: t, r: r, began: t.work, until: until, best: append([]int(nil), path...)}
	f.random = rand.New(rand.NewPCG(1, 2)) //nolint:gosec // the same every time

	f.end = f.course.end()
	f.haste = t.haste()
	f.window = len(path)
	f.mend()
	f.window = window
	begin := f.spent()
	for at, length := begin, (1-begin)/float64(f.rounds()); !f.over(); length *= 2 {
		f.anneal(at + length/2)
		f.mend()
		at += length
		if t.timed {
			f.wander(at)
		} else {
			f.anneal(at)
			f.mend()
		}
	}
	return f.best
}

// window is how many places off an order is tried once the first climb is over.
const window = 15

// firstRound is the least work for each order that the first round is given.
const firstRound = 25_000

// timedRounds is how many rounds a search has that ends by time.
const timedRounds = 5

// rounds gives how many times the first round all of them are together.
func (f *finder) rounds() int64 {
	if f.t.p.Spent != nil {
		return 1<<timedRounds - 1
	}
	all, first := int64(1), firstRound*int64(len(f.path))
	for f.until-f.t.work >= (2*all+1)*first {
		all = 2*all + 1
	}
	return all
}

// spent is how much of what it may take the search has taken, 0 to 1.
func (f *finder) spent() float64 {
	part := float64(f.t.work-f.began) / float64(f.until-f.began)
	if f.t.p.Spent != nil {
		part = max(part, f.t.p.Spent())
	}
	return min(part, 1)
}

// over reports whether the search has to end, or nothing can be better.
func (f *finder) over() bool {
	return f.t.spend(0) || f.spent() >= 1 || f.end.late == f.r.LateBound && f.end.done == f.r.TotalBound
}

// mend climbs from the best, and tries other settings for it.
func (f *finder) mend() {
	f.put(f.best)
	f.look(0, len(f.path))
	f.run(f.until)
	f.keep()
	f.settle()
}

// keep has the course as it is if it is the best.
func (f *finder) keep() {
	if found := f.course.end(); found.less(&f.end) {
		copy(f.best, f.path)
		f.end = found
	}
}

// settle puts the best sequence on other settings if it is better on them.
func (f *finder) settle() {
	orders := make([]int, len(f.best))
	for i, s := range f.best {
		orders[i] = f.t.states[s].order
	}
	if f.walk = f.t.newWalk(orders, f.walk); f.walk.end().less(&f.end) {
		copy(f.best, f.walk.states())
		f.end = *f.walk.end()
		f.put(f.best)
	}
}

// haste is what a millisecond until all is done counts in annealing beside one late: on
// the mean as much.
func (t *table) haste() float64 {
	weights, n := Time(0), Time(0)
	for i := range t.p.Orders {
		if t.p.Orders[i].Due > 0 {
			weights += max(t.p.Orders[i].Weight, 1)
			n++
		}
	}
	if n == 0 {
		return 1
	}
	return float64(weights) / float64(n)
}
