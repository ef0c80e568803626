// Package resource keeps caps in part, by states, as dynamic programming with
// resource constraints does (Irnich and Desaulniers, Shortest Path Problems with
// Resource Constraints, 2005).
//
// All strips of a capped item but the largest must together use up less than what
// is open. So of strips that use up a certain amount at least only so many can be
// cut, and a state counts, for every cap that is kept, how many still may. Strips
// that use up less are not counted, and caps that are not kept are not looked at:
// states allow every plan that keeps the caps, and more. What they bound is bound,
// and a best plan of theirs that keeps all caps is the best plan.
package resource

import (
	"math"

	"github.com/ripwright/ripwright/solver/internal/search/model"
	"github.com/ripwright/ripwright/solver/order"
)

// States of the caps that are kept. A state is a number of mixed radix, a digit a
// cap: how many strips of it may still be cut. The last state allows the most.
type States struct {
	Count int     // of states; 1 where no cap is kept
	most  []int   // per cap: strips that may be cut, of those that count
	each  []int64 // per cap: what a strip that counts uses up at least; 0: none counts
	unit  []int   // per cap: its digit's weight; 0: not kept
	m     *model.Model
}

// New gives the states that keep no cap.
func New(m *model.Model) *States {
	t := &States{Count: 1, most: make([]int, m.Caps), each: make([]int64, m.Caps), unit: make([]int, m.Caps), m: m}
	for i := range m.Wants {
		w := &m.Wants[i]
		if w.Cap == model.None {
			continue
		}
		each := w.Amount(w.Lo, w.Full)
		if each == 0 {
			continue
		}
		// All strips but one use up less than what is open. The least amount for
		// which no more strips follow from that than for a whole board's length
		// makes the most of them count.
		most := (w.Open-1)/each + 1
		if w.It.Measure != order.ByPieces {
			each = (w.Open-1)/most + 1
		}
		t.most[w.Cap], t.each[w.Cap] = int(min(most, 1<<20)), each
	}
	return t
}

// Keep has states keep a cap from now on. It reports false where that makes no
// difference or more than limit states.
func (t *States) Keep(of, limit int) bool {
	if t.unit[of] > 0 || t.each[of] == 0 || t.most[of] > limit || t.Count*(t.most[of]+1) > limit {
		return false
	}
	t.unit[of] = t.Count
	t.Count *= t.most[of] + 1
	return true
}

// Kept reports whether the cap of a want is kept.
func (t *States) Kept(w *model.Want) bool { return w.Cap >= 0 && t.unit[w.Cap] > 0 }

// After gives the state that a strip of want w leaves which has a width and counts a
// length n, and false where a state allows none.
func (t *States) After(state int, w *model.Want, width, n int64) (int, bool) {
	if !t.Kept(w) || width < t.From(w, n) {
		return state, true
	}
	return t.Less(state, w)
}

// Less gives the state that a strip of a want whose cap is kept leaves which counts,
// and false where a state allows none.
func (t *States) Less(state int, w *model.Want) (int, bool) {
	u := t.unit[w.Cap]
	if state/u%(t.most[w.Cap]+1) == 0 {
		return 0, false
	}
	return state - u, true
}

// From gives the width from which on strips of a want whose cap is kept surely use up
// enough to count if they count a length n.
func (t *States) From(w *model.Want, n int64) int64 {
	each := t.each[w.Cap]
	switch {
	case w.It.Measure == order.ByArea && n > 0:
		return int64(w.It.Joint) + (each-1)/n + 1
	case w.It.Measure == order.ByLength && n >= each:
		return 0
	case w.It.Measure == order.ByPieces && (n == t.m.Length || n > 0 && w.It.PieceLength == 0):
		return 0
	}
	return math.MaxInt64
}

// Splits calls f with every way to share a state between two sides.
func (t *States) Splits(state int, f func(a, b int)) {
	for a := 0; a <= state; a++ {
		if t.within(a, state) {
			f(a, state-a)
		}
	}
}

// within reports whether no digit of state a is above that of state b.
func (t *States) within(a, b int) bool {
	for c, u := range t.unit {
		if u > 0 {
			if d := t.most[c] + 1; a/u%d > b/u%d {
				return false
			}
		}
	}
	return true
}
