// Package resource keeps caps in part, by states, as in dynamic programming with resource
// constraints (Irnich and Desaulniers, Shortest Path Problems with Resource Constraints,
// 2005).
//
// All strips of a capped item but the largest must together use up less than what is
// open. So only a limited number of the strips that use up at least a certain amount can
// be cut, and a state counts, for every cap that is kept, how many still may be. If that
// is not enough, what is open is divided into parts: one strip, the largest, is spared,
// and every other one uses up as many whole parts as its amount holds. Strips that use up
// less are not counted, and caps that are not kept are ignored: states allow every plan
// that keeps the caps, and more. So their bounds are valid, and a best plan of theirs
// that keeps all caps is the best plan.
package resource

import (
	"math"

	"github.com/ripwright/ripwright/solver/internal/search/model"
	"github.com/ripwright/ripwright/solver/order"
)

// States of the caps that are kept. A state is a mixed-radix number with one or two
// digits per cap: how many strips of it, or parts, may still be cut, and whether one
// strip may be spared. The last state allows the most.
type States struct {
	Count int // of states; 1 if no cap is kept
	caps  []part
	kept  []int // caps, in order of their digits
	m     *model.Model
}

// part is how one cap is kept.
type part struct {
	most  int   // strips that may be cut, of those that count, or parts
	each  int64 // the least that a strip that counts uses up, or a part; 0: none counts
	fine  bool  // whether parts are counted
	solid bool  // whether the measure has no parts
	open  int64
	unit  int // its digit's weight; 0: not kept
	spare int // that of the strip that may be spared, if parts are counted
}

// strip is the most that one strip counts for.
func (c *part) strip() int {
	if c.fine {
		return c.most
	}
	return 1
}

// New gives the states that keep no cap.
func New(m *model.Model) *States {
	t := &States{Count: 1, caps: make([]part, m.Caps), m: m}
	for i := range m.Wants {
		w := &m.Wants[i]
		if w.Cap == model.None {
			continue
		}
		each := w.Amount(w.Lo, w.Full)
		if each == 0 {
			continue
		}
		// All strips but one use up less than what is open. That gives a greatest number
		// of strips as long as the board; the least amount that gives no greater number
		// makes the most strips count.
		most := (w.Open-1)/each + 1
		solid := w.It.Measure == order.ByPieces
		if !solid {
			each = (w.Open-1)/most + 1
		}
		t.caps[w.Cap] = part{most: int(min(most, 1<<20)), each: each, open: w.Open, solid: solid}
	}
	return t
}

// Keep makes states keep a cap, or keep it more exactly. It reports false if that makes
// no difference or more than limit states.
func (t *States) Keep(of, limit int) bool {
	c := &t.caps[of]
	n := c.most + 1
	switch {
	case c.each == 0 || c.most > limit:
		return false
	case c.unit == 0:
		if t.Count*n > limit {
			return false
		}
		t.kept = append(t.kept, of)
	case c.solid:
		return false
	default:
		parts := 2*c.most + 1 // each of half the size
		if !c.fine {
			// One strip is spared. With one more strip, the only condition is that it
			// uses up less than what is open.
			if parts = c.most - 1; parts != 1 {
				parts = 3*c.most - 1
			}
		} else {
			n *= 2
		}
		if t.Count/n*2*(parts+1) > limit {
			return false
		}
		c.fine, c.most, c.each = true, parts, (c.open-1)/int64(parts+1)+1
	}
	t.Count = 1
	for _, k := range t.kept {
		c := &t.caps[k]
		c.unit = t.Count
		if t.Count *= c.most + 1; c.fine {
			c.spare = t.Count
			t.Count *= 2
		}
	}
	return true
}

// Kept reports whether the cap of a want is kept.
func (t *States) Kept(w *model.Want) bool { return w.Cap >= 0 && t.caps[w.Cap].unit > 0 }

// Parts reports whether strips of a want use up parts of its cap.
func (t *States) Parts(w *model.Want) bool { return w.Cap >= 0 && t.caps[w.Cap].fine }

// After calls f with the states that a strip of a want, with a width and a counted length
// n, can leave: none if a state allows none, two if it may be spared or not.
func (t *States) After(state int, w *model.Want, width, n int64, f func(to int)) {
	if !t.Kept(w) {
		f(state)
		return
	}
	q := t.uses(w, width, n)
	if to, ok := t.Less(state, w, q); ok {
		f(to)
	}
	if to, ok := t.Spare(state, w); ok && q > 0 {
		f(to)
	}
}

// Leaves calls f with every state that a strip, or none, can leave.
func (t *States) Leaves(state int, f func(to int)) {
	f(state)
	for _, k := range t.kept {
		c := &t.caps[k]
		for q := 1; q <= min(state/c.unit%(c.most+1), c.strip()); q++ {
			f(state - q*c.unit)
		}
		if c.fine && state/c.spare%2 == 1 {
			f(state - c.spare)
		}
	}
}

// uses gives how many strips, or parts, a strip surely counts for, at most one more than
// there may be.
func (t *States) uses(w *model.Want, width, n int64) (q int) {
	for most := t.Most(w); q < most && width >= t.From(w, n, q+1); {
		q++
	}
	return q
}

// Most gives how many strips, or parts, a strip of a want whose cap is kept may count
// for, with parts one more: only the spared strip counts for that many.
func (t *States) Most(w *model.Want) int {
	if c := &t.caps[w.Cap]; c.fine {
		return c.most + 1
	}
	return 1
}

// Less gives the state after a strip that counts for q, of a want whose cap is kept, and
// false if a state allows none.
func (t *States) Less(state int, w *model.Want, q int) (int, bool) {
	c := &t.caps[w.Cap]
	if state/c.unit%(c.most+1) < q {
		return 0, false
	}
	return state - q*c.unit, true
}

// Spare gives the state after a spared strip of a want whose cap is kept, and false if
// none may be spared.
func (t *States) Spare(state int, w *model.Want) (int, bool) {
	c := &t.caps[w.Cap]
	if !c.fine || state/c.spare%2 == 0 {
		return 0, false
	}
	return state - c.spare, true
}

// From gives the least width at which strips of a want whose cap is kept surely count for
// q, at least 1, if they count a length n.
func (t *States) From(w *model.Want, n int64, q int) int64 {
	each := t.caps[w.Cap].each * int64(q)
	switch {
	case w.It.Measure == order.ByArea && n > 0:
		return int64(w.It.Counting().Width(each, n))
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
	for _, k := range t.kept {
		c := &t.caps[k]
		if d := c.most + 1; a/c.unit%d > b/c.unit%d || c.fine && a/c.spare%2 > b/c.spare%2 {
			return false
		}
	}
	return true
}
