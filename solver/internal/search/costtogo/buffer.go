package costtogo

import "github.com/ripwright/ripwright/solver/wood"

// Buffer is memory that goes from one board's tables to the next one's.
type Buffer struct {
	all  []int64
	used int
	kept int // of used, what outlasts tables
	deq  []int32
	runs []wood.Stretch
}

// Reset makes the whole buffer free again.
func (b *Buffer) Reset() { b.used, b.kept = 0, 0 }

// Keep has Release leave what the profile and the sides hold by now.
func (p *Profile) Keep() { p.buf.kept = p.buf.used }

// Release gives back what tables hold.
func (p *Profile) Release() { p.buf.used = max(p.buf.kept, 0) }

// Bytes is how much it holds.
func (b *Buffer) Bytes() int { return 8 * len(b.all) }

// ints gives n numbers, of any value.
func (b *Buffer) ints(n int) []int64 {
	if b.used+n > len(b.all) {
		// What was handed out stays with those who have it.
		b.all, b.used, b.kept = make([]int64, max(2*len(b.all), n, 1<<14)), 0, 0
	}
	s := b.all[b.used : b.used+n : b.used+n]
	b.used += n
	return s
}
