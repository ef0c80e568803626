package rip

import (
	"sync"

	"github.com/ripwright/ripwright/solver/internal/search/budget"
	"github.com/ripwright/ripwright/solver/wood"
)

// scratch is the memory in which a search works. It is reused from search to search, so
// that a search on a running line allocates next to nothing. What it holds from earlier
// searches has no effect: the search counts its memory as though it had started with
// none.
type scratch struct {
	budget     *budget.Budget
	scores     slab[score]
	longs      slab[int64]
	ints       slab[int]
	bits       slab[uint32]
	shorts     slab[int16]
	tablesOf   slab[table]
	queue      queue
	cuts       slab[cut]
	cutLists   slab[[]cut]
	shortLists slab[[]int16]
	intervals  slab[interval]
	rowsOf     slab[rowOf]
	nets       []*network // networks not in use
	ceiling    ceiling

	labels  paged[label]
	usages  arena
	slots   []int32
	touched []int32
	layers  [2]layer
	runner  layer
	ahead   layer
	found   []wood.Stretch
	ranked  []ranked
	freed   []*interval
}

// stopped is the value with which a search panics if a limit ends it halfway; guarded
// recovers it.
type stopped struct{}

// guarded calls f and reports whether f ended without being stopped by a limit.
func guarded(f func()) (done bool) {
	defer func() {
		if r := recover(); r != nil {
			if _, ok := r.(stopped); !ok {
				panic(r)
			}
		}
	}()
	f()
	return true
}

// hold counts bytes that are about to be allocated, and stops the search if they do not
// fit.
func hold(b *budget.Budget, bytes int64) {
	if !b.Hold(bytes) || !b.Spend(bytes/bytesAStep) {
		panic(stopped{})
	}
}

// bytesAStep is how many bytes are cleared in the time of a step.
const bytesAStep = 1 << 11

// grown counts the memory of a list that is appended to: as one that doubles in length
// when it is full, together with its shorter predecessors.
type grown struct{ room int }

// to makes room for n entries of size bytes.
func (g *grown) to(b *budget.Budget, n int, size uintptr) {
	if n > g.room {
		g.grow(b, n, size)
	}
}

func (g *grown) grow(b *budget.Budget, n int, size uintptr) {
	room := max(2*g.room, n, 16)
	hold(b, int64(room)*int64(size))
	g.room = room
}

// growing counts the lists of a search.
type growing struct {
	slots, queue, left, allowed       grown
	skips, groups, goals, ways, marks grown
}

var searches = sync.Pool{New: func() any { return new(scratch) }}

// mostKept is the most bytes of a scratch that is kept; one hard board must not tie up
// memory for good.
const mostKept = 16 << 20

// begin makes a scratch serve a search.
func (c *scratch) begin(b *budget.Budget) {
	c.budget = b
	c.scores.begin(b)
	c.longs.begin(b)
	c.ints.begin(b)
	c.bits.begin(b)
	c.shorts.begin(b)
	c.tablesOf.begin(b)
	c.cuts.begin(b)
	c.cutLists.begin(b)
	c.shortLists.begin(b)
	c.intervals.begin(b)
	c.rowsOf.begin(b)
	c.labels.begin()
	c.usages.of.begin()
	c.usages.all.begin(b)
	c.freed = c.freed[:0]
}

// bytes is the approximate memory that a scratch keeps.
func (c *scratch) bytes() int64 {
	sum := c.scores.bytes() + c.longs.bytes() + c.ints.bytes() + c.bits.bytes() + c.shorts.bytes() + c.tablesOf.bytes() + c.cuts.bytes() +
		c.cutLists.bytes() + c.shortLists.bytes() + c.intervals.bytes() + c.rowsOf.bytes()
	sum += c.labels.bytes() + c.usages.of.bytes() + c.usages.all.bytes() + size(c.slots) + size(c.touched) + size(c.layers[0]) + size(c.layers[1]) +
		size(c.runner) + size(c.ahead) + size(c.found) + size(c.queue) + size(c.freed)
	for i := range c.ceiling.slides {
		sum += size(c.ceiling.slides[i].at) + size(c.ceiling.slides[i].worth)
	}
	for _, t := range c.nets {
		sum += t.bytes()
	}
	return sum
}

// release makes the scratch available to other searches.
func (s *search) release() {
	if s.turned != nil {
		s.turned.search.release()
		s.turned = nil
	}
	c := s.scratch
	s.scratch = nil
	if show := s.in.ready.tests.release; show != nil {
		show(c)
	}
	for _, t := range c.nets {
		t.s, t.in, t.c = nil, nil, nil
	}
	if c.bytes() <= mostKept {
		searches.Put(c)
	}
}
