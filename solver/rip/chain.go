package rip

import "slices"

// A blade that stands idle is put where it has least to move: at the stop next
// to where it is, moved as far as its neighbours push it. Pushed from one side
// by blade j at height a, idle blade m stands at a + (m-j) spreads or beyond;
// pushed from the other by blade i at height q, at q - (i-m) spreads or before;
// and never are both in force. So the travel of idle blades is a sum of what
// each side's push costs, and that is so for a whole chain of them at once, as
// long as the stops next to where they are keep the spread themselves: moving
// each into its own range then keeps the spread too.

// orderly reports whether they do, and whether nothing but travel depends on
// where idle blades stand; rests gets the stops.
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

// pushed is what it costs beyond that to have blade m at x.
func (t *settler) pushed(m int, x int64) int64 {
	return abs(x-t.in.blades[m].current) - t.least(m)
}

// pushOut is the travel, beyond the least, of the idle blades j+1 to i-1 that
// blade j at height a causes with the fence at f.
func (t *settler) pushOut(j, i int, a, f int64) int64 {
	sum := int64(0)
	for m := j + 1; m < i; m++ {
		if x := a + int64(m-j)*t.spread + f; x > t.rests[m] {
			sum += t.pushed(m, x)
		}
	}
	return sum
}

// pushIn is the same for blade i at height q.
func (t *settler) pushIn(j, i int, q, f int64) int64 {
	sum := int64(0)
	for m := j + 1; m < i; m++ {
		if x := q - int64(i-m)*t.spread + f; x < t.rests[m] {
			sum += t.pushed(m, x)
		}
	}
	return sum
}

// leadTo gives the greatest height of idle blade m before blade i at q when the
// first k blades stand before the wood.
func (t *settler) leadTo(m, i, k int, q int64) int64 {
	y := q - int64(i-m)*t.spread
	if m < k {
		y = min(y, t.before-int64(k-1-m)*t.spread)
	}
	return y
}

// trailFrom is leadTo for the blades beyond blade j at a: those that can stand
// beyond the wood do.
func (t *settler) trailFrom(m, j int, a int64) int64 {
	y := a + int64(m-j)*t.spread
	if k := max(t.clears, j+1); m >= k {
		y = max(y, t.beyond+int64(m-k)*t.spread)
	}
	return y
}

// lead is the travel of the idle blades before blade i at q, trail that of the
// idle blades beyond blade j at a.
func (t *settler) lead(i, k int, q, f int64) int64 {
	sum := int64(0)
	for m := range i {
		sum += t.least(m)
		if x := t.leadTo(m, i, k, q) + f; x < t.rests[m] {
			sum += t.pushed(m, x)
		}
	}
	return sum
}

func (t *settler) trail(j int, a, f int64) int64 {
	sum := int64(0)
	for m := j + 1; m < len(t.in.blades); m++ {
		sum += t.least(m)
		if x := t.trailFrom(m, j, a) + f; x > t.rests[m] {
			sum += t.pushed(m, x)
		}
	}
	return sum
}

func abs(v int64) int64 { return max(v, -v) }
