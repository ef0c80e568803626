package arbor

import (
	"math/rand/v2"
	"slices"

	"github.com/ripwright/ripwright/solver/unit"
)

// Screening takes one board in every few, but at least a minimum.
const (
	screened  = 6
	leastFew  = 4
	leastMany = 8
)

// screen gives a scorer of the same settings on some of the boards; nil if there are few
// boards.
func (c *scorer) screen() *scorer {
	n := len(c.p.Boards)
	if n < leastMany {
		return nil
	}
	k := max(leastFew, n/screened)
	p := *c.p
	p.Boards = nil
	for i := range k {
		p.Boards = append(p.Boards, c.p.Boards[i*n/k])
	}
	few := newScorer(&p, c.o, c.saw, max(c.most, finalists))
	few.today = c.today
	return few
}

// finalists is the number of settings, the best on a few boards, that are tried on all.
const finalists = 8

// search tries settings and reports whether these are all there are. few screens them;
// nil: no screening.
func (c *scorer) search(few *scorer) (all bool) {
	if c.stopped() {
		return false
	}
	grid := c.p.Spacers.grid()
	n := len(c.today)
	if c.few(grid, n) {
		c.enumerate(grid, n, func(at []unit.Length) bool {
			c.score(at)
			return !c.stopped()
		})
		return !c.stopped()
	}
	// The work, in boards, of trying that many settings on all boards.
	work := c.o.Settings * len(c.p.Boards) * len(c.items)
	spent := func() int {
		if few != nil {
			return c.solved + few.solved
		}
		return c.solved
	}
	// ends gives a function that reports whether that fraction of the work is done.
	ends := func(part float64) func() bool {
		return func() bool { return c.stopped() || c.tried >= c.o.Settings || float64(spent()) >= part*float64(work) }
	}
	r := rand.New(rand.NewPCG(c.o.Seed, 0xa2b0)) // repeatable on purpose
	s := &searcher{grid: grid, gaps: c.gaps(), r: r, few: few}
	c.score(nearest(grid, c.today))
	if few != nil {
		few.score(nearest(grid, c.today))
		s.draw(few, n, ends(0.2))
		for k, at := range few.best(climbed) {
			s.climb(few, at, ends(0.2+0.3*float64(k+1)/climbed))
		}
		for _, at := range few.best(finalists) {
			if !ends(1)() {
				c.score(at)
			}
		}
	} else {
		s.draw(c, n, ends(0.3))
	}
	s.wander(c, ends(1))
	return false
}

// climbed is the number of settings improved on a few boards.
const climbed = 3

// best gives the blade positions of the best settings, at most that many.
func (c *scorer) best(most int) (all [][]unit.Length) {
	for _, s := range c.top[:min(most, len(c.top))] {
		all = append(all, s.Fixed)
	}
	return all
}

// searcher draws settings and moves blades.
type searcher struct {
	grid []unit.Length
	gaps [][]unit.Length // from each blade to the next, to fit items
	r    *rand.Rand
	few  *scorer // screens settings; nil: no screening
}

// draw tries random settings until it ends, or hardly any setting drawn is possible.
func (s *searcher) draw(c *scorer, n int, ends func() bool) {
	for misses := 0; misses < 200 && !ends(); {
		before := c.tried
		if at := s.random(n); at != nil {
			c.score(at)
		}
		if c.tried == before {
			misses++
		}
	}
}

// random draws a setting whose pockets are mostly as wide as items; nil if it does
// not fit.
func (s *searcher) random(n int) []unit.Length {
	at := []unit.Length{s.grid[s.r.IntN(len(s.grid))]}
	byItems := s.r.IntN(4) > 0
	for len(at) < n {
		next := s.grid[s.r.IntN(len(s.grid))]
		if gaps := s.gaps[len(at)-1]; byItems && len(gaps) > 0 && s.r.IntN(8) > 0 {
			next = at[len(at)-1] + gaps[s.r.IntN(len(gaps))]
		}
		at = append(at, next)
	}
	slices.Sort(at)
	if end := s.grid[len(s.grid)-1]; at[n-1] > end {
		// The first blade was placed anywhere: shift all blades to where they fit.
		room := end - (at[n-1] - at[0])
		fits, _ := slices.BinarySearch(s.grid, room+1)
		if fits == 0 {
			return nil
		}
		first := s.grid[s.r.IntN(fits)]
		shift := first - at[0]
		for i := range at {
			at[i] += shift
		}
	}
	return at
}
