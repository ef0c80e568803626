package sequence

import "math/rand/v2"

// finder looks for better sequences and keeps the best.
type finder struct {
	*climb
	t      *table
	r      *Result
	random *rand.Rand
	until  int64 // no more work than this
	best   []int
	end    label // of the best
	walk   *walk
}

// improve begins with a sequence of states and gives the best that it finds until so
// much work is done, or nothing can be better. In turn it anneals and wanders, each time
// from the best and for longer: the one finds more where hardly anything or nearly all is
// late, the other between.
func (t *table) improve(path []int, until int64, r *Result) []int {
	if t.near == nil { // stopped
		return path
	}
	f := &finder{climb: newClimb(newCourse(t, path)), t: t, r: r, until: until, best: append([]int(nil), path...)}
	f.random = rand.New(rand.NewPCG(1, 2)) //nolint:gosec // the same every time

	f.end = f.course.end()
	f.haste = t.haste()
	f.look(0, len(path))
	f.window = len(path)
	for moves := int64(firstMoves * len(path)); ; moves *= 2 {
		f.run(until)
		f.keep()
		f.settle()
		if f.over() {
			return f.best
		}
		f.window = window
		f.put(f.best)
		before := t.work
		f.anneal(moves)
		f.put(f.best)
		f.look(0, len(path))
		f.run(until)
		f.keep()
		if t.timed {
			f.wander(min(until, t.work+t.work-before))
		}
		f.put(f.best)
		f.look(0, len(path))
	}
}

// firstMoves are the moves for each order of the first annealing.
const firstMoves = 1000

// window is how many places off an order is tried once the first climb is over.
const window = 15

// over reports whether the search has to end, or nothing can be better.
func (f *finder) over() bool {
	return f.t.spend(0) || f.t.work > f.until || f.end.late == f.r.LateBound && f.end.done == f.r.TotalBound
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
