package rip

import (
	"math"
	"slices"
)

// settler finds, among the best cuttings of one kind in a network, the one with
// the least travel, and the fence that goes with it.
//
// Over an interval of fences each blade is moved by at least the least that any
// fence in the interval asks of it, so the shortest path through the network
// bounds the travel from below; at a single fence it is the travel. Intervals
// are halved, the better half first, until no bound is below what is known.
// Nodes whose bound is too high are left out of the halves.
type settler struct {
	*network
	rests          []int64
	before, beyond int64
	cleared        []int // per blade: how many of those before it stand before the wood
	clears         int   // first blade that can stand beyond the wood

	used   []bool // per node: part of one of the goal's cuttings
	count  int
	begun  [][]int32 // per blade, those that are, in rising order
	ended  [][]int32
	ends   []int32
	passed [][]skip // per blade, the skips that lead to it
	to     []int64  // per node: travel up to it, itself included
	stack  []int32

	have          bool
	travel, fence int64 // the least so far
}

const unreached = math.MaxInt64 / 4

// settling makes the network's settler ready.
func (t *network) settling(rests []int64) *settler {
	in := t.in
	n := len(in.blades)
	u := &t.settler
	u.network, u.rests, u.clears = t, rests, n
	u.cleared = slices.Grow(u.cleared[:0], n)[:n]
	clear(u.cleared)
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

// settle offers the goal's best cutting to the pool. It reports false where no
// fence in the interval lets any of them be cut.
func (t *settler) settle(g *goal) bool {
	t.pick(g)
	t.have = false
	for _, p := range t.s.pool.plans {
		if p.kind == g.kind {
			sc := p.score
			sc.travel = 0
			if c := sc.cmp(&g.score); c > 0 {
				return true
			} else if c == 0 {
				// A dive may have found it, and at its own fence there can be another
				// that comes first in order.
				t.have, t.travel, t.fence = true, p.score.travel, p.fence+1
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
	w := t.pack()
	found := t.visit(w, t.f, t.bound(w, t.f))
	if found && t.s.ended == NoLimit {
		t.offer(g, w)
	}
	return was || found
}

// visit looks for less travel in an interval whose bound is known.
func (t *settler) visit(w *web, f fences, bound int64) (found bool) {
	if bound >= unreached || t.have && (bound > t.travel || bound == t.travel && f.lo >= t.fence) || t.s.ended != NoLimit {
		return false
	}
	if f.single() {
		t.have, t.travel, t.fence = true, bound, f.lo
		return true
	}
	if t.have && len(w.at) > smallWeb {
		t.bound(w, f)
		t.after(w, f)
		w = w.without(t.travel - t.away(f))
	}
	mid := f.lo + ((f.hi-f.lo)/t.in.step/2)*t.in.step
	a, b := fences{f.lo, mid}, fences{mid + t.in.step, f.hi}
	ba, bb := t.bound(w, a), t.bound(w, b)
	if bb < ba {
		a, b, ba, bb = b, a, bb, ba
	}
	found = t.visit(w, a, ba)
	return t.visit(w, b, bb) || found
}

// smallWeb is how many nodes a web may have before it is made smaller.
const smallWeb = 48

// own is the travel of blade j at height a, or unreached.
func (t *settler) own(j int, a int64, f fences) int64 {
	b := &t.in.blades[j]
	if a+f.hi < b.lo || a+f.lo > b.hi {
		return unreached
	}
	return max(a+f.lo-b.current, b.current-a-f.hi, 0)
}

// leading gives how many blades stand before the wood where arc a is the first
// of a cutting, at blade i: all that can, and with the strip's other side at a
// straight edge all there are.
func (t *settler) leading(i int, a *arc) int {
	if a.want != noWant {
		return i
	}
	return t.cleared[i]
}

// canLead and canTrail report whether the idle blades that the goal has outside
// the wood can stand there for some fence in f.
func (t *settler) canLead(k int, f fences) bool {
	return k == 0 || t.in.blades[k-1].lo-f.hi <= t.before
}

func (t *settler) canTrail(j int, f fences) bool {
	k := max(t.clears, j+1)
	return k >= len(t.in.blades) || t.in.blades[k].hi-f.lo >= t.beyond
}
