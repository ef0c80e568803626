package rip

import "slices"

// An idle blade is put where it moves least: at the stop next to where it is, moved as
// far as its neighbours push it. Pushed from one side by blade j at height a, idle blade
// m stands at a + (m-j) spreads or beyond; pushed from the other by blade i at height q,
// at q - (i-m) spreads or before; never are both in force. So the travel of idle blades
// is the sum of the costs of each side's push, also for a whole chain of them at once, as
// long as the stops next to their present places keep the spread themselves: moving each
// into its own range then keeps the spread too.

// orderly reports whether they do, and whether the places of idle blades affect nothing
// but travel; rests gets the stops.
func (in *instance) orderly() (rests []int64, ok bool) {
	if in.reripWidth > 0 || !in.gapless {
		return nil, false
	}
	if slices.ContainsFunc(in.blades, func(b blade) bool { return !b.moving }) {
		return nil, false
	}
	spread := in.stopUp(in.kerf + in.gap)
	rests = make([]int64, len(in.blades))
	for m, b := range in.blades {
		r := in.stopDown(b.current)
		if b.current-r > r+in.step-b.current {
			r += in.step
		}
		rests[m] = min(max(r, b.lo), b.hi)
		if m > 0 && rests[m]-rests[m-1] < spread {
			return nil, false
		}
	}
	return rests, true
}

// least is the travel of idle blade m when nothing pushes it.
func (t *settler) least(m int) int64 {
	return abs(t.rests[m] - t.in.blades[m].current)
}

// pushOut is the travel, beyond the least, of the idle blades j+1 to i-1 that
// blade j at height a causes.
func (t *settler) pushOut(j, i int, a int64, f fences) (sum chord) {
	for m := j + 1; m < i; m++ {
		sum = sum.plus(t.rise(m, a+int64(m-j)*t.spread, f))
	}
	return sum
}

// pushIn is the same for blade i at height q.
func (t *settler) pushIn(j, i int, q int64, f fences) (sum chord) {
	for m := j + 1; m < i; m++ {
		sum = sum.plus(t.fall(m, q-int64(i-m)*t.spread, f))
	}
	return sum
}

// rise is what it costs idle blade m, beyond the least, to stand at height y or beyond;
// fall, to stand at y or before.
func (t *settler) rise(m int, y int64, f fences) chord {
	return t.excess(y+f.lo-t.rises[m], y+f.hi-t.rises[m])
}

func (t *settler) fall(m int, y int64, f fences) chord {
	return t.excess(t.falls[m]-y-f.lo, t.falls[m]-y-f.hi)
}

// leadTo gives the greatest height of idle blade m before blade i at q if the first k
// blades stand before the wood.
func (t *settler) leadTo(m, i, k int, q int64) int64 {
	y := q - int64(i-m)*t.spread
	if m < k {
		y = min(y, t.clearBefore(m, k))
	}
	return y
}

// trailFrom is leadTo for the blades beyond blade j at a: those that can stand
// beyond the wood do.
func (t *settler) trailFrom(m, j int, a int64) int64 {
	y := a + int64(m-j)*t.spread
	if k := max(t.clears, j+1); m >= k {
		y = max(y, t.clearBeyond(m, k))
	}
	return y
}

// clearBefore gives the greatest height of blade m if the first k stand before the wood,
// clearBeyond the least if blade k is the first beyond it.
func (t *settler) clearBefore(m, k int) int64 { return t.before - int64(k-1-m)*t.spread }
func (t *settler) clearBeyond(m, k int) int64 { return t.beyond + int64(m-k)*t.spread }

// leading gives how many blades stand before the wood if arc a is the first of a cutting,
// at blade i: all that can, and if the strip's other side is at a straight edge, all that
// there are.
func (t *settler) leading(i int, a *arc) int {
	if a.want != noWant {
		return i
	}
	return t.cleared[i]
}

// lead is the travel of the idle blades before blade i at q, the first k of them before
// the wood; trail that of the idle blades beyond blade j at a.
func (t *settler) lead(i, k int, q int64, f fences) (sum chord) {
	for m := range i {
		least := t.least(m)
		sum = sum.plus(chord{least, least}).plus(t.fall(m, t.leadTo(m, i, k, q), f))
	}
	return sum
}

func (t *settler) trail(j int, a int64, f fences) (sum chord) {
	for m := j + 1; m < len(t.in.blades); m++ {
		least := t.least(m)
		sum = sum.plus(chord{least, least}).plus(t.rise(m, t.trailFrom(m, j, a), f))
	}
	return sum
}

func abs(v int64) int64 { return max(v, -v) }
