package rip

import (
	"unsafe"

	"github.com/ripwright/ripwright/solver/internal/search/budget"
)

// paged is a list that grows by a page at a time: entries do not move, and no large
// allocation delays the next check of the limits.
type paged[T any] struct {
	pages   [][]T
	n       int // entries in use
	counted int // pages that this search has counted
}

// pageLen is how many entries a page has.
const (
	pageBits = 8
	pageLen  = 1 << pageBits
)

// at gives entry i. It does not move while it is in use.
func (l *paged[T]) at(i int32) *T { return &l.pages[uint32(i)>>pageBits][i&(pageLen-1)] }

// add appends an entry, counted with the bytes that it needs elsewhere.
func (l *paged[T]) add(b *budget.Budget, v *T, more uintptr) {
	if l.n == l.counted<<pageBits {
		hold(b, pageLen*int64(unsafe.Sizeof(*v)+more))
		if l.counted == len(l.pages) {
			l.pages = append(l.pages, make([]T, pageLen))
		}
		l.counted++
	}
	l.n++
	*l.at(int32(l.n - 1)) = *v
}

// begin makes the list count for another search.
func (l *paged[T]) begin() { l.n, l.counted = 0, 0 }

// bytes is the memory that the list keeps.
func (l *paged[T]) bytes() int64 {
	var v T
	return int64(len(l.pages)) * pageLen * int64(unsafe.Sizeof(v))
}
