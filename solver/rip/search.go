package rip

import (
	"container/heap"
	"math"
	"unsafe"

	"github.com/ripwright/ripwright/solver/internal/search/budget"
)

// search is the state of one search.
type search struct {
	*scratch
	fit      [][]int16 // per fixed blade, see fits
	in       *instance
	f        fences // fence positions at hand
	w        fences // where the wood lies for them, in the frame of the sweep
	anchor   int
	anchored bool // the anchor is a fixed blade
	kinds    bool // runners-up are wanted: labels of different kinds are kept apart

	tails             []table // beyond a blade, by the number of moving blades there
	heads             []table // before one, likewise
	farSide, nearSide memo
	quota             quota
	ceil              *ceiling // with tolls for the caps that the quota leaves out, or nil
	turned            *turned  // and before the first fixed blade, or nil
	rest, fixed       []rowOf  // per blade, see restAt and fixedRow
	before            rowOf    // see beforeAt
	spare             []rowOf  // two a blade, see chainBound
	pending           bool     // what lies before the anchor is still to come
	// trails are the positions that the blades of a saw without a fixed one can
	// still take, and further[j] how far the blades beyond j must move at least.
	trails  [][]int64
	further []int64
	// fenceTravel is how far the fence moves at least.
	fenceTravel int64
	nextFixed   []int // per blade, the next fixed one or -1

	left    []openKind      // kinds that the sweep at hand leaves open
	allowed map[kind]*found // nil: all

	beam  int // labels kept at a blade during a dive; 0: all
	pool  pool
	pathA path
	pathB path

	aimed int // counts the intervals aimed at

	sweepStops int64 // see worthSweeping
	bound      worth // at least that of any plan, as far as is known
	growing    growing
	starters   *starters // or nil
}

// newSearch gives a search that has to be prepared.
func newSearch(in *instance, runnersUp int, b *budget.Budget) *search {
	s := &search{scratch: searches.Get().(*scratch), in: in, kinds: runnersUp > 0, bound: in.crude()}
	s.begin(b)
	s.pool = pool{size: runnersUp + 1, in: in}
	return s
}

// prepare takes what every search needs.
func (s *search) prepare() {
	in, n := s.in, len(s.in.blades)
	s.nextFixed, s.further = s.ints.take(n), s.longs.take(n)
	s.quota = newQuota(in, s.scratch)
	s.sweepStops = s.worthSweeping()
	s.fit = s.shortLists.take(n)
	s.rest, s.fixed, s.spare = s.newRows(n), s.newRows(n), s.newRows(2*n)
	s.before = s.newRows(1)[0]
	next := -1
	for j := n - 1; j >= 0; j-- {
		s.nextFixed[j] = next
		if !in.blades[j].moving {
			next = j
		}
	}
	if s.anchored = next >= 0; s.anchored {
		s.anchor = next
	}
	s.farSide, s.nearSide = s.newMemo(in.fullHi, in.outerHi), s.newMemo(in.outerLo-in.kerf, in.fullLo-in.kerf)
	pockets := in.pockets()
	s.pathA = path{s.longs.take(n), s.shorts.take(pockets)}
	s.pathB = path{s.longs.take(n), s.shorts.take(pockets)}
}

// spend counts n steps of work and reports whether the search may go on.
func (s *search) spend(n int64) bool { return s.budget.Spend(n) }

// tick is spend where the search may be left at once.
func (s *search) tick(n int64) {
	if !s.budget.Spend(n) {
		panic(stopped{})
	}
}

// poll counts round i of a loop of short rounds, of which a step has stride.
func (s *search) poll(i int) {
	if i&(stride-1) == 0 {
		s.tick(1)
	}
}

const stride = 16

// over reports whether a limit has ended the search.
func (s *search) over() bool { return s.budget.Ended() != NoLimit }

// run searches all fence positions and gives a bound on every plan's worth.
func (s *search) run() worth {
	if s.over() {
		if s.bestWorth().IsZero() {
			s.start()
		}
		return s.bound // items may be missing, which no other bound knows of
	}
	if s.starters == nil && s.bestWorth().IsZero() {
		s.starters = s.in.starters(s.pool.skew, s.budget)
		s.starters.set()
	}
	if s.starters != nil {
		defer s.starters.end()
	}
	done := guarded(func() {
		s.prepare()
		s.bound = s.find()
	})
	switch {
	case s.starters != nil:
		s.starters.tell(s)
		if s.over() {
			s.starters.late(s.bestWorth(), s.bound)
			s.starters.tell(s)
		}
	case s.over() && s.bestWorth().IsZero():
		s.start()
	}
	if done {
		return s.bound
	}
	return maxWorth(s.bound, s.bestWorth())
}

// find is run up to where a limit stops it in the midst of something; s.bound is the
// bound then. Intervals of fence positions are taken best bound first. One that is popped
// unswept is swept for a sharper bound, then halved; a single position is swept
// for its plans.
func (s *search) find() worth {
	in := s.in
	everything := fences{in.fenceLo, in.fenceHi}
	crude := in.crude()
	fresh := len(s.pool.plans) == 0
	rests, orderly := in.orderly()
	if fresh && !orderly && (!s.anchored || s.anchor > 1 || s.tail() > 0) { // else no table takes long
		s.glance(everything)
	}
	dived := false
	if orderly {
		if bound, ok := s.free(rests); ok {
			return bound
		}
	}
	if !s.takeTolls() {
		return crude
	}
	if tail := s.tail(); tail >= 0 {
		if s.tails = s.tables(tail); s.tails == nil {
			return crude
		}
	}
	q := s.queue[:0]
	defer func() { s.queue = q }()
	if s.anchored && s.anchor > 0 {
		if s.heads = s.leftTables(s.anchor - 1); s.heads == nil {
			return crude
		}
	}
	if fresh && !s.anchored {
		s.scout(everything)
	}
	s.push(&q, everything, score{Worth: crude, Area: math.MaxInt64}, nil)
	for len(q) > 0 {
		if s.starters != nil {
			s.starters.tell(s)
		}
		e := q[0]
		if s.pool.outclassed(&e.bound, e.f.lo) {
			if e.bound.Cmp(&s.pool.worst().score) < 0 {
				break
			}
			heap.Pop(&q) // as good, but further out; others as good may be nearer
			s.drop(e)
			continue
		}
		s.bound = minWorth(s.bound, maxWorth(e.bound.Worth, s.bestWorth()))
		s.tick(1)
		heap.Pop(&q)
		s.aim(e.f, e.left.trailed(), e.left.kinds())
		stops := (e.f.hi-e.f.lo)/in.step + 1
		switch {
		case e.f.single() || !e.swept && (stops <= s.sweepStops || !s.anchored || s.kinds):
			// What a glance found is far from what a dive finds that has tables to go by.
			if s.anchored && (fresh && (!dived || !s.pool.full()) || s.ceil != nil && !e.swept && e.bound.Worth.Cmp(s.pool.least()) > 0) {
				dived = true
				s.dive(e.f)
				s.aim(e.f, e.left.trailed(), e.left.kinds())
			}
			best, ok := s.sweep()
			if s.over() {
				panic(stopped{})
			}
			if e.f.single() || !ok {
				s.drop(e)
			} else {
				if best.Cmp(&e.bound) < 0 {
					e.bound = best
				}
				e.swept = true
				s.leaves(e)
				heap.Push(&q, e)
				if best.Worth.Cmp(s.pool.least()) > 0 {
					s.dive(e.f)
				}
			}
		default:
			mid := e.f.lo + (stops/2-1)*in.step
			s.push(&q, fences{e.f.lo, mid}, e.bound, e.left)
			s.push(&q, fences{mid + in.step, e.f.hi}, e.bound, e.left)
			s.drop(e)
		}
	}
	return s.bestWorth()
}

// worthSweeping is how many stops the widest interval has that is worth sweeping:
// over wider ones the wood moves so far that the sweep's bound is no better than
// the quick one. Where each moving blade has a fixed one on one side and none on
// the other, and the quota keeps all caps, the quick bound of a narrow interval
// leaves little to sharpen.
func (s *search) worthSweeping() int64 {
	const wide = 32
	in := s.in
	last := len(in.blades) - 1
	if !s.quota.whole(in) {
		return wide
	}
	for j := range in.blades {
		if in.blades[j].moving && (j > 0 && j < last || in.blades[max(j-1, 0)].moving && in.blades[min(j+1, last)].moving) {
			return wide
		}
	}
	return 1
}

// tail is how many moving blades stand at the end of the arbor beyond the first
// one that a table serves, or -1 where none is needed.
func (s *search) tail() int {
	m := 0
	for j := len(s.in.blades) - 1; j >= 0 && s.in.blades[j].moving; j-- {
		m++
	}
	return m - 1
}

// aim sets the interval of fences at hand and the bounds over it.
func (s *search) aim(f fences, trails [][]int64, open []openKind) {
	s.f = f
	if s.w = f; !s.anchored {
		s.w = fences{}
	}
	s.fenceTravel = max(f.lo-s.in.fence0, s.in.fence0-f.hi, 0)
	s.follow(trails)
	s.allow(open)
	s.aimed++
}

// must is how far things have to move whatever the plan.
func (s *search) must() int64 {
	if s.anchored {
		return s.fenceTravel
	}
	return s.fenceTravel + s.further[0] + s.nearest(0)
}

// quick bounds all plans over the interval at hand: the blades on either side of
// the anchor by themselves, but one side can have no more of the quota than the
// other leaves.
func (s *search) quick() score {
	in := s.in
	if !s.anchored {
		b := s.window(s.anchor)
		sc := s.tails[len(in.blades)-1].over(b.lo, b.hi)
		return s.withNearSide(sc, b.hi)
	}
	rest, before := s.restAt(s.anchor), s.beforeAt()
	states := s.quota.states
	best := rest[states-1]
	best.Add(&before[0])
	for v := range states - 1 {
		other := &before[states-1-v]
		if rest[v].Worth.Add(other.Worth).Cmp(best.Worth) < 0 {
			continue
		}
		sc := rest[v]
		sc.Add(other)
		if sc.Cmp(&best) > 0 {
			best = sc
		}
	}
	alone := s.anchorAlone()
	best.Add(&alone)
	s.quickTolls(&best)
	return best
}

// anchorAlone scores the anchor, with what may lie on its own where it is the
// last or the first blade.
func (s *search) anchorAlone() score {
	a := s.window(s.anchor).lo
	sc := s.stand(s.anchor, a)
	if s.anchor == len(s.in.blades)-1 {
		sc.Worth = sc.Worth.Add(s.rerip(a+s.in.kerf, farOut))
	}
	return s.withNearSide(sc, a)
}

// withNearSide adds what may lie between the board's near side and blade 0.
func (s *search) withNearSide(sc score, a int64) score {
	if s.anchor == 0 && (s.in.straight || s.in.reripWidth > 0) {
		return sc.Plus(s.widthBound(fenceFace, a))
	}
	return sc
}

// push adds an interval with the quick bound, but no better than known.
func (s *search) push(q *queue, f fences, known score, left *leavings) {
	s.aim(f, left.trailed(), nil)
	quick := s.quick()
	must := s.must()
	quick.Travel += must
	if known.Cmp(&quick) < 0 {
		quick = known
		quick.Travel = max(known.Travel, must)
	}
	if !s.pool.outclassed(&quick, f.lo) {
		e := s.newInterval()
		*e = interval{f: f, bound: quick, left: left.shared()}
		s.growing.queue.to(s.budget, len(*q)+1, 2*unsafe.Sizeof(e)) // and where they go when done with
		heap.Push(q, e)
	}
}

func (s *search) bestWorth() worth {
	if len(s.pool.plans) == 0 {
		return worth{}
	}
	return s.pool.plans[0].score.Worth
}
