package costtogo

import (
	"unsafe"

	"github.com/ripwright/ripwright/solver/wood"
)

// Buffer is memory that is reused from one board's tables to the next one's: blocks that
// are handed out one after the other and never grow, so that it holds little more than is
// counted.
type Buffer struct {
	blocks [][]int64
	at     place
	kept   place // memory up to here outlasts tables
	kinds  []kind
	faces  []faceStrip
	deq    []int32
	low    []int64
	after  []*level
	runs   []wood.Stretch
}

// place is how far blocks are handed out.
type place struct{ block, used int }

// blockInts is the least length of a block.
const blockInts = 1 << 14

// Reset frees the whole buffer.
func (b *Buffer) Reset() {
	b.at, b.kept = place{}, place{}
	b.kinds, b.faces = b.kinds[:0], b.faces[:0]
}

// kindsOf gives room for n kinds, until Reset.
func (b *Buffer) kindsOf(n int) []kind { return slab(&b.kinds, n)[:0] }

// facesOf gives n face strips of any contents, until Reset.
func (b *Buffer) facesOf(n int) []faceStrip { return slab(&b.faces, n) }

// slab gives the next n of a slice. If it is too short, it is replaced by a longer one:
// what was handed out stays where it is.
func slab[T any](all *[]T, n int) []T {
	if len(*all)+n > cap(*all) {
		*all = make([]T, 0, max(n, 2*cap(*all)))
	}
	from := len(*all)
	*all = (*all)[:from+n]
	return (*all)[from : from+n : from+n]
}

// Keep makes Release leave what the profile and the sides hold now.
func (p *Profile) Keep() { p.buf.kept = p.buf.at }

// Release gives back what tables hold.
func (p *Profile) Release() { p.buf.at = p.buf.kept }

// Mark is a place in a buffer.
type Mark struct{ at place }

// Mark gives the place up to which the buffer is in use.
func (p *Profile) Mark() Mark { return Mark{p.buf.at} }

// Back gives back what the buffer handed out since a mark.
func (p *Profile) Back(m Mark) { p.buf.at = m.at }

// Bytes is the size of the buffer.
func (b *Buffer) Bytes() (n int) {
	for _, x := range b.blocks {
		n += 8 * len(x)
	}
	return n + int(unsafe.Sizeof(kind{}))*cap(b.kinds) + int(unsafe.Sizeof(faceStrip{}))*cap(b.faces)
}

// Lasting calls f, in which the memory that is handed out outlasts tables even though
// these are made already. Cells counts it.
func (p *Profile) Lasting(f func()) {
	p.lasting = true
	f()
	p.lasting = false
}

// ints gives n numbers, of any value. It counts work for them: memory costs time when it
// is first touched.
func (p *Profile) ints(n int) []int64 {
	p.Over(n)
	if p.lasting {
		return make([]int64, n)
	}
	return p.buf.ints(n)
}

// ints gives n numbers, of any value.
func (b *Buffer) ints(n int) []int64 {
	for b.at.block < len(b.blocks) && b.at.used+n > len(b.blocks[b.at.block]) {
		b.at = place{b.at.block + 1, 0}
	}
	if b.at.block == len(b.blocks) {
		b.blocks = append(b.blocks, make([]int64, max(n, blockInts)))
	}
	from := b.at.used
	b.at.used += n
	return b.blocks[b.at.block][from:b.at.used:b.at.used]
}
