package incumbent

import (
	"slices"

	"github.com/ripwright/ripwright/solver/unit"
)

// fill makes the table, with tolls on capped items.
func (s *side) fill() {
	h := s.h
	for len(s.value) <= s.levels {
		s.value = append(s.value, make([]int64, s.n))
		s.later = append(s.later, make([]int64, s.n))
		s.choice = append(s.choice, make([]choice, s.n))
	}
	clear(s.value[0])
	clear(s.later[0])
	for r := 1; r <= s.levels; r++ {
		s.raise(r)
		h.work += int64(s.n*(len(h.p.Items)+4)) >> 7
		if !h.spend() {
			return
		}
	}
}

func (s *side) raise(r int) {
	h, p := s.h, s.h.p
	v, before, c := s.value[r], s.value[r-1], s.choice[r]
	idle := int((p.Gap + p.Kerf + h.grid - 1) / h.grid)
	for i := range v { // a blade without gain, or one that begins further out
		v[i], c[i] = before[i], choice{None, int32(i)}
		if k := i + idle; k < s.n && s.later[r-1][k] > v[i] {
			v[i], c[i] = s.later[r-1][k], choice{None, -1}
		}
	}
	for k := range p.Items {
		if p.Items[k].ByWidth {
			s.raiseRange(r, k)
			continue
		}
		toll, strips, d := h.toll[k], s.strips[k], s.ahead[k]
		for i := range min(s.n-d, s.n) {
			if w := strips[i] - toll + before[i+d]; w > v[i] && strips[i] > 0 {
				v[i], c[i] = w, choice{int16(k), int32(i + d)}
			}
		}
		for i := max(s.n-d, 0); i < s.n; i++ {
			if w := strips[i] - toll; w > v[i] && strips[i] > 0 {
				v[i], c[i] = w, choice{int16(k), int32(s.n)}
			}
		}
	}
	most := int64(0)
	for i := s.n - 1; i >= 0; i-- {
		most = max(most, v[i])
		s.later[r][i] = most
	}
}

// raiseRange tries the strips of an item by width: clear ones by a monotone deque, since
// their worth is linear in both ends.
func (s *side) raiseRange(r, k int) {
	h, p := s.h, s.h.p
	it := &p.Items[k]
	v, before, c := s.value[r], s.value[r-1], s.choice[r]
	kerf := int((p.Kerf + h.grid/2) / h.grid)
	after := func(to int) int64 {
		if to+kerf < s.n {
			return before[to+kerf]
		}
		return 0
	}
	toll := h.toll[k]
	for _, b := range s.banded[k] {
		if w := b.worth - toll + after(int(b.to)); w > v[b.from] {
			v[b.from], c[b.from] = w, choice{int16(k), b.to + int32(kerf)}
		}
	}
	lo, hi := s.clearFrom(k), s.clearTo(k, 0)
	a, b := int(unit.CeilDiv(it.Lo, h.grid)), int(it.Hi/h.grid)
	if a > b {
		return
	}
	each := unit.MulDiv(h.rate[k], h.grid, 1<<20)
	key := func(to int) int64 { return int64(to)*each + after(to) }
	q := s.queue[:0]
	head, next := 0, lo+a
	for i := lo; i+a <= hi; i++ {
		for ; next <= min(i+b, hi); next++ {
			for len(q) > head && key(int(q[len(q)-1])) <= key(next) {
				q = q[:len(q)-1]
			}
			q = append(q, int32(next))
		}
		for int(q[head]) < i+a {
			head++
		}
		to := int(q[head])
		if w := key(to) - int64(i)*each - toll; w > v[i] {
			v[i], c[i] = w, choice{int16(k), int32(to + kerf)}
		}
	}
	s.queue = q[:0]
}

// trace counts the strips of each item that give the value of r blades from height y on.
func (s *side) trace(r int, y int64, counts []int) {
	i := s.index(y)
	if i < 0 {
		if r == 0 {
			return
		}
		i = max(s.index(y+s.h.p.Gap+s.h.p.Kerf), 0)
		r--
		i = s.first(r, i)
	}
	for r > 0 && i < s.n {
		c := s.choice[r][i]
		r--
		switch {
		case c.item != None:
			counts[c.item]++
			i = int(c.next)
		case c.next < 0:
			i = s.first(r, i+int((s.h.p.Gap+s.h.p.Kerf+s.h.grid-1)/s.h.grid))
		}
	}
}

// first gives the first height from i on with the best value, or n.
func (s *side) first(r, i int) int {
	if i >= s.n || s.later == nil {
		return s.n
	}
	k := slices.Index(s.value[r][i:], s.later[r][i])
	if k < 0 {
		return s.n
	}
	return i + k
}
