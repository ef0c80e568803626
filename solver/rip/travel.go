package rip

// chord is a lower bound on a travel over an interval of fences: straight from its value
// at one end to that at the other. Travels are sums of single moves, each convex in the
// place of the fence. If a part of a travel is not straight, its least value stands for
// it, so sums of chords are at most the travel.
//
// A sum of chords is least at one of the ends, and if all parts are straight, it equals
// the travel there.
type chord struct{ lo, hi int64 }

var nowhere = chord{unreached, unreached}

func (c chord) plus(d chord) chord { return chord{c.lo + d.lo, c.hi + d.hi} }

// or is at most as great as either.
func (c chord) or(d chord) chord { return chord{min(c.lo, d.lo), min(c.hi, d.hi)} }

func (c chord) least() int64 { return min(c.lo, c.hi) }

// distance is the chord of |v| as v goes from lo to hi.
func (t *settler) distance(lo, hi int64) chord {
	switch {
	case lo >= 0:
		return chord{lo, hi}
	case hi <= 0:
		return chord{-lo, -hi}
	}
	t.bent = true
	return chord{}
}

// excess is the chord of max(v, 0) for a v that goes from lo to hi.
func (t *settler) excess(lo, hi int64) chord {
	switch {
	case min(lo, hi) >= 0:
		return chord{lo, hi}
	case max(lo, hi) > 0:
		t.bent = true
	}
	return chord{}
}

// own is the travel of blade j at height a; nowhere if no fence in f lets it stand there.
func (t *settler) own(j int, a int64, f fences) chord {
	b := &t.in.blades[j]
	lo, hi := a+f.lo, a+f.hi
	if hi < b.lo || lo > b.hi {
		return nowhere
	}
	if lo < b.lo || hi > b.hi {
		t.bent = true
	}
	return t.distance(lo-b.current, hi-b.current)
}

// away is the travel of the fence.
func (t *settler) away(f fences) chord { return t.distance(f.lo-t.in.fence0, f.hi-t.in.fence0) }

// canLead and canTrail report whether the goal's idle blades outside the wood, k of them
// before it and those beyond blade j, can stand there for some fence in f.
func (t *settler) canLead(k int, f fences) bool {
	if k == 0 {
		return true
	}
	from := t.leadFrom(k)
	if f.lo < from && from <= f.hi {
		t.bent = true
	}
	return f.hi >= from
}

func (t *settler) canTrail(j int, f fences) bool {
	to := t.trailTo(j)
	if f.lo <= to && to < f.hi {
		t.bent = true
	}
	return f.lo <= to
}

// leadFrom is the first fence that lets k > 0 blades stand before the wood, trailTo the
// last one that lets those beyond blade j that should stand beyond it do so.
func (t *settler) leadFrom(k int) int64 { return t.in.blades[k-1].lo - t.before }

func (t *settler) trailTo(j int) int64 {
	k := max(t.clears, j+1)
	if k >= len(t.in.blades) {
		return unreached
	}
	return t.in.blades[k].hi - t.beyond
}
