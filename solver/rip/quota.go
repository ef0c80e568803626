package rip

import (
	"cmp"
	"slices"

	"github.com/ripwright/ripwright/solver/order"
)

// quota keeps caps in part, for bounds. Only a limited number of the strips of a capped
// item that use up at least a certain amount can be cut; a state counts, for every capped
// item, how many still may be. Strips that use up less are not counted.
type quota struct {
	most []int   // per cap: strips that may be cut, of those that count
	each []int64 // per cap: the least that a counted strip uses up; 0: no strip counts
	unit []int   // per cap: its digit's weight in a state; 0: not kept
	// states is the number of states; the last allows the most.
	states int
}

// mostStates limits the states. Caps beyond it are left out.
const mostStates = 12

// states is the most states of a quota.
func (r *ready) states() int { return cmp.Or(r.tests.states, mostStates) }

func newQuota(in *instance, s *scratch) quota {
	t := quota{s.ints.take(in.caps), s.longs.take(in.caps), s.ints.take(in.caps), 1}
	for i := range in.wants {
		w := &in.wants[i]
		if w.cap < 0 {
			continue
		}
		each := w.amount(w.lo, w.full)
		if each == 0 {
			continue
		}
		// All strips but one use up less than what is open. That gives a greatest number
		// of strips as long as the board; the least amount that gives no greater number
		// makes the most strips count.
		most := (w.open-1)/each + 1
		if w.it.Measure != order.ByPieces {
			each = (w.open-1)/most + 1
		}
		t.most[w.cap], t.each[w.cap] = int(most), each
		if most+1 > int64(in.ready.states()/t.states) {
			continue
		}
		t.unit[w.cap] = t.states
		t.states *= int(most) + 1
	}
	return t
}

// kept reports whether the cap of want w is among those kept.
func (t *quota) kept(w *want) bool { return w.cap >= 0 && t.unit[w.cap] > 0 }

// state gives the state that a usage of the caps leaves.
func (t *quota) state(in *instance, used []uses) int {
	state := t.states - 1
	for i := range in.wants {
		w := &in.wants[i]
		if !t.kept(w) {
			continue
		}
		// Of n further strips of amount a, all but the largest of everything must
		// total less than what is open: used + n a - max(largest, a) < open.
		u, a := used[w.cap], t.each[w.cap]
		n := (w.open - 1 - u.sum + max(u.largest, a)) / a
		state -= (t.most[w.cap] - int(min(max(n, 0), int64(t.most[w.cap])))) * t.unit[w.cap]
	}
	return state
}

// less gives the state after a counted strip of want w, or -1 if none may be cut. The
// state past the last allows everything.
func (t *quota) less(state int, w *want) int {
	switch {
	case state == t.states || !t.kept(w):
		return state
	case state/t.unit[w.cap]%(t.most[w.cap]+1) == 0:
		return -1
	}
	return state - t.unit[w.cap]
}

// after is less for a strip that uses up at least amount.
func (t *quota) after(state int, w *want, amount int64) int {
	if !t.kept(w) || amount < t.each[w.cap] {
		return state
	}
	return t.less(state, w)
}

// whole reports whether the states keep every cap.
func (t *quota) whole(in *instance) bool {
	return !slices.ContainsFunc(in.wants, func(w want) bool { return w.cap >= 0 && !t.kept(&w) })
}

// counts reports whether a strip of want w counts in the states.
func (t *quota) counts(in *instance, w *want, c cut) bool { return t.kept(w) && t.enough(in, w, c) }

// enough reports whether a strip of want w surely uses up enough to count.
func (t *quota) enough(in *instance, w *want, c cut) bool {
	switch {
	case w.cap < 0 || t.each[w.cap] == 0:
		return false
	case w.it.Measure == order.ByPieces: // c may lack them
		return c.n == in.length || w.it.PieceLength == 0
	}
	return w.amount(w.lo, c) >= t.each[w.cap]
}
