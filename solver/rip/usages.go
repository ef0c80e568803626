package rip

import (
	"slices"
	"unsafe"

	"github.com/ripwright/ripwright/solver/internal/search/budget"
)

// usages numbers the ways in which caps are used, 0 for none.
type usages struct {
	budget *budget.Budget
	grown  *grown
	caps   int
	marked int // in the index
	all    []uses
	index  map[uint64][]int32
}

func (u *usages) init(s *search) {
	in := s.in
	u.budget, u.grown = s.budget, &s.growing.ways
	u.caps, u.marked = in.caps, 0
	u.all = slices.Grow(u.all[:0], in.caps)[:in.caps]
	clear(u.all)
	clear(u.index)
}

func (u *usages) of(i int32) []uses { return u.all[int(i)*u.caps : int(i+1)*u.caps] }

func (u *usages) lighter(i, j int32) bool {
	return lighter(u.of(i), u.of(j))
}

// with gives the number of usage i after a strip that uses amount of want w, and false if
// that overruns the cap by more than the last strip.
func (u *usages) with(i int32, w *want, amount int64) (int32, bool) {
	if w.cap < 0 || amount == 0 {
		return i, true
	}
	now := u.of(i)[w.cap].with(amount)
	if now.sum-now.largest >= w.open {
		return 0, false
	}
	at := len(u.all)
	u.grown.to(u.budget, at/u.caps+2, uintptr(u.caps)*unsafe.Sizeof(now)+96) // with its place in the index, about
	u.all = append(u.all, u.of(i)...)
	u.all[at+w.cap] = now
	mark := uint64(0)
	for _, v := range u.all[at:] {
		mark = mix(mark ^ uint64(v.sum))
		mark = mix(mark ^ uint64(v.largest))
	}
	for _, k := range u.index[mark] {
		if slices.Equal(u.of(k), u.all[at:]) {
			u.all = u.all[:at]
			return k, true
		}
	}
	if u.index == nil {
		u.index = map[uint64][]int32{}
	}
	k := int32(at / u.caps)
	u.marked++
	u.index[mark] = append(u.index[mark], k)
	return k, true
}
