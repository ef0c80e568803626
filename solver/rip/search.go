package rip

import (
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
	ceil              *ceiling // with tolls for the caps that the quota leaves out; may be nil
	turned            *turned  // the same before the first fixed blade; may be nil
	rest, fixed       []rowOf  // per blade, see restAt and fixedRow
	before            rowOf    // see beforeAt
	spare             []rowOf  // two a blade, see chainBound
	pending           bool     // what lies before the anchor is still to come
	// trails are the positions that the blades of a saw without a fixed one can still
	// take, and further[j] the least move of the blades beyond j.
	trails  [][]int64
	further []int64
	// fenceTravel is the least move of the fence.
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
	bound      worth // at least the worth of any plan, as far as is known
	growing    growing
	starters   *starters // may be nil
}

// newSearch gives a search that is to be prepared.
func newSearch(in *instance, runnersUp int, b *budget.Budget) *search {
	s := &search{scratch: searches.Get().(*scratch), in: in, kinds: runnersUp > 0, bound: in.crude()}
	s.begin(b)
	s.pool = pool{size: runnersUp + 1, in: in}
	return s
}

// prepare takes the memory that every search needs.
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

// spend counts n steps of work and reports whether the search may continue.
func (s *search) spend(n int64) bool { return s.budget.Spend(n) }

// tick is spend where the search may be left at once.
func (s *search) tick(n int64) {
	if !s.budget.Spend(n) {
		panic(stopped{})
	}
}

// poll counts round i of a loop of short rounds, stride of which make a step.
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
		return s.bound // items may be missing, which no other bound includes
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

func (s *search) bestWorth() worth {
	if len(s.pool.plans) == 0 {
		return worth{}
	}
	return s.pool.plans[0].score.Worth
}
