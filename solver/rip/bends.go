package rip

import "slices"

// bends is the travel of one cutting as a function of the fence: a sum of how far
// single things move, so convex. Each part rises by as much as the fence moves
// beyond a certain place or falls until one, and the sum is least where as many
// places are passed as parts fall. Fences outside lo to hi allow no such cutting.
type bends struct {
	base         int64
	lo, hi       int64
	rises, falls []int64
}

// stack of bends: what is added to them is taken off again.
func (b *bends) back(to bends) {
	b.base, b.lo, b.hi = to.base, to.lo, to.hi
	b.rises, b.falls = b.rises[:len(to.rises)], b.falls[:len(to.falls)]
}

func (b *bends) reset(f fences) {
	b.base, b.lo, b.hi = 0, f.lo, f.hi
	b.rises, b.falls = b.rises[:0], b.falls[:0]
}

func (b *bends) rise(from int64) { b.rises = append(b.rises, from) }
func (b *bends) fall(to int64)   { b.falls = append(b.falls, to) }

// both adds the distance from a place.
func (b *bends) both(at int64) {
	b.rise(at)
	b.fall(at)
}

func (b *bends) within(lo, hi int64) { b.lo, b.hi = max(b.lo, lo), min(b.hi, hi) }

// at gives the travel with the fence at f.
func (b *bends) at(f int64) int64 {
	sum := b.base
	for _, p := range b.rises {
		sum += max(f-p, 0)
	}
	for _, p := range b.falls {
		sum += max(p-f, 0)
	}
	return sum
}

// turn gives the first of the stops from lo to hi at which the travel is least.
// It reports false where there is none.
func (b *bends) turn(in *instance, scratch *[]int64) (fence int64, ok bool) {
	if b.lo > b.hi {
		return 0, false
	}
	n := len(b.falls)
	if n == 0 {
		return b.lo, true
	}
	all := append(append((*scratch)[:0], b.rises...), b.falls...)
	*scratch = all
	slices.Sort(all)
	f := in.stopUp(all[n-1])
	if f > b.lo && f <= b.hi && b.at(f-in.step) <= b.at(f) {
		f -= in.step
	}
	return min(max(f, b.lo), b.hi), true
}
