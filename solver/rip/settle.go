package rip

import (
	"math"
	"slices"
)

// settler finds, among the best cuttings of one kind in a network, the one with
// the least travel, and the fence that goes with it.
//
// The travel of one cutting is convex in the place of the fence. So if there are few
// cuttings for the number of nodes, each is settled separately (webpaths.go). Otherwise
// those that are better shifted along with the fence are left out (webshift.go). If many
// are left, they are settled over intervals of fences, which are halved, the better half
// first, until no bound is below the known travel or nothing turns within (webpass.go).
// Nodes whose bound is too high are left out of the halves.
type settler struct {
	*network
	rests          []int64
	before, beyond int64
	// Per idle blade: it moves further than it must if pushed to a place below falls, or
	// above rises.
	falls, rises []int64
	cleared      []int // per blade: how many of those before it stand before the wood
	clears       int   // first blade that can stand beyond the wood

	used   []bool // per node: part of one of the goal's cuttings
	count  int
	begun  [][]int32 // per blade, those that are, in rising order
	ended  [][]int32
	ends   []int32
	passed [][]skip // per blade, the skips that lead to it
	stack  []int32
	room   webRoom
	way    bends   // of the cutting at hand
	turns  []bend  // scratch
	bent   bool    // a travel was not straight over the interval at hand
	to     []int64 // per node: travel up to it at one fence
	ways   []path  // per node: the first of the shortest ways to it there

	have          bool
	travel, fence int64 // the least so far
}

const unreached = math.MaxInt64 / 4

// settling prepares the network's settler.
func (t *network) settling(rests []int64) *settler {
	in := t.in
	n := len(in.blades)
	u := &t.settler
	u.network, u.rests, u.clears = t, rests, n
	u.cleared = slices.Grow(u.cleared[:0], n)[:n]
	clear(u.cleared)
	u.falls, u.rises = slices.Grow(u.falls[:0], n)[:n], slices.Grow(u.rises[:0], n)[:n]
	for m := range n {
		least := u.least(m)
		u.falls[m], u.rises[m] = in.blades[m].current-least, in.blades[m].current+least
	}
	u.before, u.beyond = in.clearings()
	for i := range n {
		for m := 0; m < i && in.kerf > 0 && in.blades[m].lo-t.f.hi <= u.before; m++ {
			u.cleared[i]++
		}
	}
	for in.kerf > 0 && u.clears > 0 && in.blades[u.clears-1].hi-t.f.lo >= u.beyond {
		u.clears--
	}
	return u
}

// settle offers the goal's best cutting to the pool. It reports false if no fence in the
// interval allows any of its cuttings.
func (t *settler) settle(g *goal) bool {
	t.pick(g)
	t.have = false
	for _, p := range t.s.pool.plans {
		if p.kind == g.kind {
			sc := p.score
			sc.Travel = 0
			if c := sc.Cmp(&g.score); c > 0 {
				return true
			} else if c == 0 {
				// A dive may have found it, and at its own fence there can be another
				// that comes first.
				t.have, t.travel, t.fence = true, p.score.Travel, p.fence+1
				switch sign(p.skew - t.s.pool.skew) { // at another skew all fences come before or after
				case -1:
					t.fence = math.MinInt64
				case 1:
					t.fence = math.MaxInt64
				}
			}
		}
	}
	was := t.have
	t.room.reset()
	w := t.pack()
	found := t.search(w)
	if found && !t.s.over() {
		t.offer(g, w)
	}
	return was || found
}

// search looks for the least travel of the web's cuttings.
func (t *settler) search(w *web) (found bool) {
	if t.few(w) {
		return t.each(w, t.f)
	}
	lo, hi := t.unshifted(w)
	mark := t.room.mark()
	found = t.within(w, fences{lo, hi})
	if hi < t.f.hi {
		found = t.within(t.highest(w), fences{hi + t.in.step, t.f.hi}) || found
		t.room.back(mark)
	}
	if lo > t.f.lo {
		found = t.within(t.lowest(w), fences{t.f.lo, lo - t.in.step}) || found
		t.room.back(mark)
	}
	return found
}

// within looks for less travel over an interval.
func (t *settler) within(w *web, f fences) bool {
	if !f.single() && t.few(w) {
		return t.each(w, f)
	}
	return t.visit(w, f, t.bound(w, f))
}

// visit is within for an interval whose bound is known.
func (t *settler) visit(w *web, f fences, b travelBound) (found bool) {
	if t.settled(b.least(), f.lo) || t.s.over() {
		return false
	}
	if b.exact {
		found = t.note(b.lo, f.lo)
		return t.note(b.hi, f.hi) || found
	}
	mark := t.room.mark()
	defer t.room.back(mark)
	if t.have {
		t.bound(w, f)
		t.after(w, f)
		if v := t.promising(w, f); v != w {
			if w = v; t.few(w) {
				return t.each(w, f)
			}
		}
	}
	mid := f.lo + ((f.hi-f.lo)/t.in.step/2)*t.in.step
	near, far := fences{f.lo, mid}, fences{mid + t.in.step, f.hi}
	bn, bf := t.bound(w, near), t.bound(w, far)
	if bf.least() < bn.least() {
		near, far, bn, bf = far, near, bf, bn
	}
	found = t.visit(w, near, bn)
	return t.visit(w, far, bf) || found
}

// settled reports whether no cutting with at least this travel, the fence at f or beyond,
// comes before the known one.
func (t *settler) settled(travel, f int64) bool {
	return travel >= unreached || t.have && (travel > t.travel || travel == t.travel && f >= t.fence)
}

// note keeps a travel that comes before the known one.
func (t *settler) note(travel, fence int64) bool {
	if t.settled(travel, fence) {
		return false
	}
	t.have, t.travel, t.fence = true, travel, fence
	return true
}
