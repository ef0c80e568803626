package rip

import (
	"math/bits"
	"sync"
	"unsafe"

	"github.com/ripwright/ripwright/solver/internal/search/budget"
	"github.com/ripwright/ripwright/solver/wood"
)

// scratch is the memory that a search works in. It goes from one search to the
// next, so that a search on a line that runs allocates next to nothing. What it
// holds from earlier searches bears on nothing: the search counts what it takes as
// though it had begun with none.
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

// stopped is what a search panics with that a limit ends in the midst of something;
// guarded takes it.
type stopped struct{}

// guarded calls f and reports whether f came to its end, not stopped by a limit.
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

// hold counts bytes that are about to be allocated, and stops the search where they
// do not fit.
func hold(b *budget.Budget, bytes int64) {
	if !b.Hold(bytes) || !b.Spend(bytes/bytesAStep) {
		panic(stopped{})
	}
}

// bytesAStep is how many bytes are cleared in the time of a step.
const bytesAStep = 1 << 11

// slab hands out cleared slices of a few long ones, its chunks.
type slab[T any] struct {
	budget   *budget.Budget
	chunks   [][]T
	ever     []int // entries of each chunk that were ever handed out; the rest is clear
	counted  []int // entries of each chunk that this search has counted
	at, used int   // the chunk at hand, and how much of it is handed out
}

// The first chunk of a slab takes so many bytes, each further one twice as many as
// the one before up to the most. What is longer gets a chunk of its own.
const (
	firstChunk = 1 << 10
	mostChunk  = 1 << 16
)

func (b *slab[T]) take(n int) []T {
	if b.at >= len(b.counted) || b.used+n > b.counted[b.at] {
		b.next(n)
	}
	old := min(max(b.ever[b.at]-b.used, 0), n)
	part := b.raw(n)
	clear(part[:old])
	return part
}

// raw is take without the clearing.
func (b *slab[T]) raw(n int) []T {
	if b.at >= len(b.counted) || b.used+n > b.counted[b.at] {
		b.next(n)
	}
	part := b.chunks[b.at][b.used : b.used+n : b.used+n]
	b.used += n
	b.ever[b.at] = max(b.ever[b.at], b.used)
	return part
}

// next goes on to a chunk that has room for n entries. What was handed out stays
// with those who have it.
func (b *slab[T]) next(n int) {
	if b.at < len(b.counted) {
		b.at++
	}
	b.used = 0
	if b.at < len(b.counted) && b.counted[b.at] >= n {
		return
	}
	size := int(unsafe.Sizeof(*new(T)))
	many := max(min(firstChunk<<min(b.at, 16), mostChunk)/size, 1)
	if n > many {
		many = roomy(n)
	}
	hold(b.budget, int64(many)*int64(size))
	if b.at < len(b.counted) {
		b.counted[b.at] = many
	} else {
		b.counted = append(b.counted, many)
	}
	switch {
	case b.at == len(b.chunks):
		b.chunks, b.ever = append(b.chunks, make([]T, many)), append(b.ever, 0)
	case len(b.chunks[b.at]) < many:
		b.chunks[b.at], b.ever[b.at] = make([]T, many), 0
	}
}

// roomy rounds up by a quarter at most, so that boards much alike need the same.
func roomy(n int) int {
	unit := 1 << max(bits.Len(uint(n))-3, 0)
	return (n + unit - 1) / unit * unit
}

// begin has the slab count for another search.
func (b *slab[T]) begin(to *budget.Budget) {
	b.budget = to
	b.counted, b.at, b.used = b.counted[:0], 0, 0
}

// place is how far a slab is handed out.
type place struct{ at, used int }

func (b *slab[T]) mark() place { return place{b.at, b.used} }

// back takes back what was handed out since the mark.
func (b *slab[T]) back(to place) { b.at, b.used = to.at, to.used }

// reset takes back all that was handed out.
func (b *slab[T]) reset() { b.back(place{}) }

// bytes is what the slab keeps.
func (b *slab[T]) bytes() (sum int64) {
	for _, c := range b.chunks {
		sum += int64(len(c)) * int64(unsafe.Sizeof(*new(T)))
	}
	return sum
}

// grown counts what a list takes that is appended to: as one that doubles in length
// when it is full, along with the shorter ones that it was before.
type grown struct{ room int }

// to makes room for n entries of so many bytes.
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

// mostKept is how many bytes a scratch may have to be kept; one hard board shall not
// tie up memory for good.
const mostKept = 16 << 20

// begin has a scratch serve a search.
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

// bytes is about what a scratch keeps.
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

// size is what a slice keeps.
func size[T any](s []T) int64 { return int64(cap(s)) * int64(unsafe.Sizeof(*new(T))) }

// spoil writes over a scratch that is released, so that tests find out whoever
// still reads it. Nil outside tests.
var spoil func(*scratch)

// release hands the scratch on.
func (s *search) release() {
	if s.turned != nil {
		s.turned.search.release()
		s.turned = nil
	}
	c := s.scratch
	s.scratch = nil
	if spoil != nil {
		spoil(c)
	}
	for _, t := range c.nets {
		t.s, t.in, t.c = nil, nil, nil
	}
	if c.bytes() <= mostKept {
		searches.Put(c)
	}
}
