package rip

// Bounds on what is still to come, over the present interval of fences. Caps enter them
// only by a state v of the quota; the state past the last ignores caps. Beyond the next
// pocket moving blades enter only by the tables, and between two fixed blades or before
// the first one only by the width that is left.

// row holds a bound for each state of the quota and for the one past the last. Strips are
// measured once for all of them.
type row []score

// rowOf is a row once it is computed.
type rowOf struct {
	row
	aimed int // the interval that it holds for, see search.aimed
}

func (s *search) newRows(n int) []rowOf {
	rows := s.rowsOf.take(n)
	for i := range rows {
		rows[i].row = s.scores.take(s.quota.states + 1)
	}
	return rows
}

// restAt bounds what lies beyond fixed blade j.
func (s *search) restAt(j int) row {
	b := &s.rest[j]
	if b.aimed == s.aimed {
		return b.row
	}
	in := s.in
	a, next := in.blades[j].lo, s.nextFixed[j]
	switch {
	case j == len(in.blades)-1: // scored with the blade itself
		clear(b.row)
	case next == j+1:
		s.pocketBound(b.row, a+in.kerf, next)
	default:
		s.chainBound(b.row, j, a)
	}
	b.aimed = s.aimed
	return b.row
}

// beforeAt bounds what lies before the anchor.
func (s *search) beforeAt() row {
	b := &s.before
	if b.aimed == s.aimed {
		return b.row
	}
	clear(b.row)
	if s.anchored && s.anchor > 0 {
		s.leftChain(b.row, s.anchor, s.in.blades[s.anchor].lo)
	}
	b.aimed = s.aimed
	return b.row
}

// after bounds what lies beyond blade j standing at a.
func (s *search) after(j int, a int64, v int) score { return s.afterSpan(j, a, a, v) }

// afterSpan bounds what lies beyond blade j standing anywhere in [a, b].
func (s *search) afterSpan(j int, a, b int64, v int) score {
	in := s.in
	last := len(in.blades) - 1
	if j == last { // for a label this counts twice what is scored with the blade
		return score{Worth: s.rerip(a+in.kerf, farOut)}
	}
	if !in.blades[j].moving {
		return s.restAt(j)[v]
	}
	f := s.nextFixed[j]
	switch {
	case f < 0:
		return s.tails[last-j].over(a-s.w.hi, b-s.w.lo)
	case f == j+1 && in.reripWidth == 0 && !in.straight:
		return s.gapBound(a+in.kerf, b+in.kerf, f, v)
	}
	sc := s.widthBound(a+in.kerf, in.blades[f].lo)
	sc.Add(s.fromFixed(f, v))
	return sc
}

// mostAfter bounds the worth of afterSpan, in less time.
func (s *search) mostAfter(j int, a, b int64) worth {
	if last := len(s.in.blades) - 1; j < last && s.in.blades[j].moving && s.nextFixed[j] < 0 {
		return s.tails[last-j].most(a-s.w.hi, b-s.w.lo)
	}
	return s.afterSpan(j, a, b, s.quota.states).Worth
}

// afterRow is afterSpan for moving blade j and all states.
func (s *search) afterRow(to row, j int, a, b int64) {
	in := s.in
	f := s.nextFixed[j]
	if f >= 0 && f == j+1 && in.reripWidth == 0 && !in.straight {
		s.gapRow(to, a+in.kerf, b+in.kerf, f)
		return
	}
	if j == len(in.blades)-1 || f < 0 {
		sc := s.afterSpan(j, a, b, s.quota.states)
		for v := range to {
			to[v] = sc
		}
		return
	}
	wide := s.widthBound(a+in.kerf, in.blades[f].lo)
	copy(to, s.fixedRow(f))
	for v := range to {
		to[v].Add(&wide)
	}
}

// fromFixed bounds fixed blade j itself with what lies beyond it.
func (s *search) fromFixed(j, v int) *score { return &s.fixedRow(j)[v] }

// fixedRow is fromFixed for all states.
func (s *search) fixedRow(j int) row {
	b := &s.fixed[j]
	if b.aimed == s.aimed {
		return b.row
	}
	own := s.stand(j, s.in.blades[j].lo)
	if j == len(s.in.blades)-1 {
		own.Worth = own.Worth.Add(s.rerip(s.in.blades[j].lo+s.in.kerf, farOut))
	}
	copy(b.row, s.restAt(j))
	for v := range b.row {
		b.row[v].Add(&own)
	}
	b.aimed = s.aimed
	return b.row
}

// beforeBlade bounds what lies before blade j standing at a, j left of the
// anchor.
func (s *search) beforeBlade(j int, a int64) score {
	if j == 0 {
		return score{} // scored with the blade itself
	}
	return s.heads[j].over(a-s.w.hi, a-s.w.lo)
}

// unknownArea stands for an unknown area: above that of the largest board, and small
// enough to be added up over all blades.
const unknownArea = int64(100_000_000_000_000_000)

// widthBound bounds the score of all strips between two positions by the width of wood
// between them.
func (s *search) widthBound(left, right int64) score {
	d := min(right-left, right-s.w.lo-s.in.outerLo, s.in.outerHi-left+s.w.hi, s.in.outerHi-s.in.outerLo)
	if d <= 0 {
		return score{}
	}
	return score{Worth: times(s.in.perWidth, d), Area: unknownArea}
}

// idleBound is the best score of blade j standing idle within [lo, hi]: out of the wood
// if there is room for it, otherwise in it, with the least move.
func (s *search) idleBound(j int, lo, hi int64) (best score) {
	in := s.in
	if !in.gapless {
		return score{}
	}
	least := farOut
	near := func(lo, hi int64) {
		from, to := lo+s.f.lo-s.w.lo, hi+s.f.hi-s.w.hi
		if c := in.blades[j].current; lo <= hi {
			least = min(least, max(from-c, c-to, 0))
		}
	}
	sides := s.sides(lo, hi)
	near(sides[1][0], sides[1][1])
	near(sides[2][0], sides[2][1])
	if in.kerf == 0 || least == farOut {
		best.Blades = min(in.kerf, 1)
		near(lo, hi)
	}
	best.Travel = least
	return best
}

// near gives the stops next to arbor position c, in the frame of the sweep, where it may
// lie anywhere in an interval.
func (s *search) near(c int64) [4]int64 {
	lo, hi := c-(s.f.hi-s.w.hi), c-(s.f.lo-s.w.lo)
	return [4]int64{s.in.stopDown(lo), s.in.stopUp(lo), s.in.stopDown(hi), s.in.stopUp(hi)}
}

// sides gives the whole of [lo, hi], the part of it before the wood and the
// part beyond it.
func (s *search) sides(lo, hi int64) [3][2]int64 {
	in := s.in
	return [3][2]int64{
		{lo, hi},
		{lo, min(hi, in.stopDown(in.woodLo-in.kerf+s.w.hi))},
		{max(lo, in.stopUp(in.woodHi+s.w.lo)), hi},
	}
}
