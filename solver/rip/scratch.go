package rip

import (
	"sync"

	"github.com/ripwright/ripwright/solver/wood"
)

// scratch is the memory that a search works in. It goes from one search to the
// next, so that a search on a line that runs allocates next to nothing.
type scratch struct {
	scores     slab[score]
	longs      slab[int64]
	ints       slab[int]
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

	labels  []label
	arena   []uses
	slots   []int32
	touched []int32
	layers  [2]layer
	runner  layer
	ahead   layer
	found   []wood.Stretch
	ranked  []ranked
}

// slab hands out cleared slices of one long one.
type slab[T any] struct {
	all  []T
	used int
}

func (b *slab[T]) take(n int) []T {
	part := b.raw(n)
	clear(part)
	return part
}

// raw is take without the clearing.
func (b *slab[T]) raw(n int) []T {
	if b.used+n > len(b.all) {
		// What was handed out stays with those who have it.
		b.all, b.used = make([]T, max(2*len(b.all), n)), 0
	}
	part := b.all[b.used : b.used+n : b.used+n]
	b.used += n
	return part
}

var searches = sync.Pool{New: func() any { return new(scratch) }}

// mostKept is how many entries the parts of a scratch may have to be kept; one
// hard board shall not tie up memory for good.
const mostKept = 1 << 18

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
	c.scores.used, c.longs.used, c.cuts.used, c.cutLists.used, c.intervals.used, c.rowsOf.used = 0, 0, 0, 0, 0, 0
	c.ints.used, c.shorts.used, c.tablesOf.used, c.shortLists.used = 0, 0, 0, 0
	large := max(len(c.scores.all), len(c.longs.all)/8, len(c.cuts.all)/4, cap(c.labels), cap(c.arena))
	for _, t := range c.nets {
		r := &t.settler.room
		large = max(large, cap(t.nodes), cap(t.arcs), len(t.table.all), len(r.ints.all)/8, len(r.chords.all)/2, len(r.blades.all)/8)
	}
	if large <= mostKept {
		searches.Put(c)
	}
}
