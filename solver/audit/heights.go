package audit

import (
	"slices"

	"github.com/ripwright/ripwright/solver/unit"
)

// heights has how much wood lies below each of some heights, as twice the area in nm2:
// what lies between the near edge and the height, less what lies between the far edge and
// the height. If an edge crosses a height between two stations, at most half a square
// nanometre is lost.
//
// Each edge is walked once. A stretch between two stations that lies below a height gives
// it, and all heights above, an amount that is linear in the height; these are added up
// by prefix sums. So only crossings are computed one by one.
type heights struct {
	y   []unit.Length // in rising order, each once
	sum []wide
	// By height, what begins to count there: twice the length of the stretches below it,
	// and twice the areas below their edges.
	long   []int64
	raised []wide
}

func (h *heights) begin() { h.y = h.y[:0] }

func (h *heights) add(y unit.Length) { h.y = append(h.y, y) }

// below is twice the area of the wood below one of the heights.
func (h *heights) below(y unit.Length) wide {
	i, _ := slices.BinarySearch(h.y, y)
	return h.sum[i]
}

// fill computes all heights.
func (h *heights) fill(l *lying) {
	slices.Sort(h.y)
	h.y = slices.Compact(h.y)
	n := len(h.y)
	h.sum = append(h.sum[:0], make([]wide, n)...)
	h.edge(l, l.nearLow, l.nearHigh, l.underNear, false)
	h.edge(l, l.farLow, l.farHigh, l.underFar, true)
}

// edge adds what lies between an edge and each height above it; for the far edge it
// subtracts that.
func (h *heights) edge(l *lying, low, high unit.Length, under wide, far bool) {
	put := func(i int, w wide) {
		if far {
			w = wide{}.minus(w)
		}
		h.sum[i] = h.sum[i].plus(w)
	}
	first, _ := slices.BinarySearch(h.y, low)
	last, _ := slices.BinarySearch(h.y, high) // from here on the whole edge lies below
	for i := last; i < len(h.y); i++ {
		put(i, product(2*int64(l.length), int64(h.y[i])).minus(under))
	}
	if first == last {
		return
	}
	h.long = append(h.long[:0], make([]int64, last+1)...)
	h.raised = append(h.raised[:0], make([]wide, last+1)...)
	i := first // the first height above the station before
	for k := 1; k < len(l.at); k++ {
		s, t := &l.at[k-1], &l.at[k]
		from, to, long := s.Near, t.Near, int64(t.X-s.X)
		if far {
			from, to = s.Far, t.Far
		}
		lo, hi := min(from, to), max(from, to)
		for i > first && h.y[i-1] >= lo {
			i--
		}
		for i < last && h.y[i] < lo {
			i++
		}
		for ; i < last && h.y[i] < hi; i++ { // it crosses: a triangle, in proportion to its length
			up := int64(h.y[i] - lo)
			put(i, product(long, up).by(up).over(uint64(hi-lo)))
		}
		h.long[i] += 2 * long
		h.raised[i] = h.raised[i].plus(product(long, int64(from+to)))
	}
	var length int64
	var raised wide
	for i := first; i < last; i++ {
		length += h.long[i]
		raised = raised.plus(h.raised[i])
		put(i, product(length, int64(h.y[i])).minus(raised))
	}
}
