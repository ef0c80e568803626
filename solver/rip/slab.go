package rip

import (
	"math/bits"
	"unsafe"

	"github.com/ripwright/ripwright/solver/internal/search/budget"
)

// slab hands out cleared slices of a few long ones, its chunks.
type slab[T any] struct {
	budget   *budget.Budget
	chunks   [][]T
	ever     []int // entries of each chunk that were ever handed out; the rest is clear
	counted  []int // entries of each chunk that this search has counted
	at, used int   // the chunk at hand, and how much of it is handed out
}

// The first chunk of a slab takes a number of bytes, each further one twice as many as
// the one before, up to the most. Anything longer has its own chunk.
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

// next moves on to a chunk that has room for n entries. What was handed out stays valid.
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

// roomy rounds up by a quarter at most, so that similar boards need the same.
func roomy(n int) int {
	unit := 1 << max(bits.Len(uint(n))-3, 0)
	return (n + unit - 1) / unit * unit
}

// begin makes the slab count for another search.
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

// bytes is the memory that the slab keeps.
func (b *slab[T]) bytes() (sum int64) {
	for _, c := range b.chunks {
		sum += int64(len(c)) * int64(unsafe.Sizeof(*new(T)))
	}
	return sum
}

// size is the memory that a slice keeps.
func size[T any](s []T) int64 { return int64(cap(s)) * int64(unsafe.Sizeof(*new(T))) }
