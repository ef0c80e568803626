package sequence

import "math/rand/v2"

// finder searches for better sequences and keeps the best.
type finder struct {
	*climb
	t      *table
	r      *Result
	random *rand.Rand
	began  int64 // work done before it began
	until  int64 // limit of work
	best   []int
	end    label // of the best
	walk   *walk
}

// improve starts from a sequence of states and gives the best found until the work is
// spent or nothing can be better.
//
// It takes rounds, each several times as long as the one before. A round anneals, and
// then wanders from the best. If annealing hardly lessens the lateness any more, as where
// most of it cannot be avoided, the completion time is annealed in between, colder.
// Without due times and starts a round anneals twice.
func (t *table) improve(path []int, until int64, r *Result) []int {
	if t.near == nil { // stopped
		return path
	}
	f := &finder{climb: newClimb(newCourse(t, path)), t: t, r: r, began: t.work, until: until, best: append([]int(nil), path...)}
	f.random = rand.New(rand.NewPCG(1, 2)) // repeatable on purpose

	f.end = f.course.end()
	f.haste = t.haste()
	f.window = len(path)
	f.mend()
	f.window = window
	first := coarse
	if !t.timed {
		first = untimed
	}
	begin := f.spent()
	for at, length := begin, (1-begin)/float64(f.rounds()); !f.over(); length *= growth {
		before := f.end.late
		f.anneal(at+length*annealed, first)
		f.mend()
		if t.timed && float64(before-f.end.late) <= settled*float64(before) {
			f.anneal(at+length*polished, fine)
			f.mend()
		}
		at += length
		if t.timed {
			f.wander(at)
		} else {
			f.anneal(at, untimed)
			f.mend()
		}
	}
	return f.best
}

const (
	// growth is how many times as long as the one before a round is.
	growth = 8
	// annealed is the fraction of a round after which the first annealing ends, polished
	// that after which the one of the completion time does.
	annealed, polished = 0.55, 0.78
	// settled is the fraction of the lateness by which annealing must lessen it for the
	// completion time to wait.
	settled = 0.001
)

// window is how many places away an order is tried after the first climb.
const window = 15

// firstRound is the least work per order in the first round.
const firstRound = 25_000

// timedRounds is the number of rounds of a search that ends by time.
const timedRounds = 3

// rounds gives the total length of all rounds in units of the first.
func (f *finder) rounds() int64 {
	all, first := int64(1), firstRound*int64(len(f.path))
	if f.t.p.Spent != nil {
		for range timedRounds - 1 {
			all = growth*all + 1
		}
		return all
	}
	for f.until-f.t.work >= (growth*all+1)*first {
		all = growth*all + 1
	}
	return all
}

// spent is the fraction of the search's budget that is spent, 0 to 1.
func (f *finder) spent() float64 {
	part := float64(f.t.work-f.began) / float64(f.until-f.began)
	if f.t.p.Spent != nil {
		part = max(part, f.t.p.Spent())
	}
	return min(part, 1)
}

// over reports whether the search must end, or nothing can be better.
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

// keep stores the course if it is the best.
func (f *finder) keep() {
	if found := f.course.end(); found.less(&f.end) {
		copy(f.best, f.path)
		f.end = found
	}
}

// settle moves the best sequence to other settings if it is better on them.
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

// haste is the weight in annealing of a millisecond of completion time relative to one of
// lateness: the mean weight.
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
