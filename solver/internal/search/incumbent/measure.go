package incumbent

import (
	"github.com/ripwright/ripwright/solver/unit"
)

// heights is the approximate number of heights of a table across the board.
const heights = 400

// mostMeasured limits the strips that a table measures.
const mostMeasured = 3000

// mostBanded limits those of one item by width.
const mostBanded = 1200

// measure estimates the strips of the tables.
func (s *side) measure() {
	h, p := s.h, s.h.p
	s.n = int((s.outerHi-s.outerLo)/h.grid) + 1
	s.ahead, s.strips, s.banded = make([]int, len(p.Items)), make([][]int64, len(p.Items)), make([][]banded, len(p.Items))
	open := 0
	for k := range p.Items {
		if it := &p.Items[k]; !it.ByWidth {
			lo, hi := s.clearFrom(k), s.clearTo(k, it.Lo)
			open += s.n - max(hi-lo+1, 0)
		}
	}
	stride := open/mostMeasured + 1
	for k := range p.Items {
		it := &p.Items[k]
		if it.ByWidth {
			if s.measureRange(k); h.ended {
				return
			}
			continue
		}
		s.ahead[k] = int((it.Lo + p.Kerf + h.grid/2) / h.grid)
		v := make([]int64, s.n)
		s.strips[k] = v
		lo, hi := s.clearFrom(k), s.clearTo(k, it.Lo)
		for i := 0; i < s.n; i++ {
			if i >= lo && i <= hi {
				v[i] = h.full[k].worth
				continue
			}
			from := s.height(i)
			to := s.height(int(unit.CeilDiv(from+it.Lo-s.outerLo, h.grid)))
			if from+it.Lo > s.outerHi {
				break
			}
			v[i], _ = s.strip(k, from, min(to, s.outerHi))
			for n := 1; n < stride && i+1 < s.n && (i+1 < lo || i+1 > hi) && s.height(i+1)+it.Lo <= s.outerHi; n++ {
				v[i+1] = v[i]
				i++
			}
		}
		if !h.spend() {
			return
		}
	}
}

// clearFrom and clearTo give the first and last height from which a strip is clear
// from end to end.
func (s *side) clearFrom(k int) int {
	if s.h.p.Items[k].Spotted || s.fullLo >= s.fullHi {
		return s.n
	}
	return max(int(unit.CeilDiv(s.fullLo-s.outerLo, s.h.grid)), 0)
}

func (s *side) clearTo(k int, width int64) int {
	if s.h.p.Items[k].Spotted || s.fullLo >= s.fullHi {
		return -1
	}
	return min(int(unit.FloorDiv(s.fullHi-width-s.outerLo, s.h.grid)), s.n-1)
}

// measureRange measures some strips of an item by width that are not clear.
func (s *side) measureRange(k int) {
	h, p := s.h, s.h.p
	it := &p.Items[k]
	lo, hi := s.clearFrom(k), s.clearTo(k, 0)
	a, b := int(unit.CeilDiv(it.Lo, h.grid)), int(it.Hi/h.grid)
	if a > b {
		a = b
	}
	// Along heights and widths alike, so that their number stays bounded.
	count := 0
	for i := range s.n {
		count += s.unclear(i, lo, hi, a, b)
	}
	stride := 1
	for count/(stride*stride) > mostBanded {
		stride++
	}
	for i := 0; i < s.n; i += stride {
		from, step := a, stride
		if i >= lo && i <= hi { // only those that end beyond what is clear
			from = max(a, hi-i+1)
		}
		for w := min(b, s.n-1-i); w >= from; w -= step {
			y := s.height(i)
			if worth, _ := s.strip(k, y, s.height(i+w)); worth > 0 {
				s.banded[k] = append(s.banded[k], banded{int32(i), int32(i + w), worth})
			}
		}
		if h.work > often && !h.spend() {
			return
		}
	}
	h.spend()
}

// unclear counts the widths a to b from height i that are not clear.
func (s *side) unclear(i, lo, hi, a, b int) int {
	if i < lo || i > hi {
		return max(min(b, s.n-1-i)-a+1, 0)
	}
	return max(min(b, s.n-1-i)-max(a, hi-i+1)+1, 0)
}
