package rip

import (
	"github.com/ripwright/ripwright/solver/unit"
)

// table bounds what lies on one side of a moving blade when only moving blades
// stand there: for a blade whose kerf starts at y of the board it is at least
// the score of all pockets and blades on that side, however they are set.
// Travels, caps, the fence and the blades' own travel are left out, so one
// table serves every fence position. Scores are sums of parts, so the greatest
// in their lexicographic order can be built up blade by blade like any dynamic
// programme.
type table struct {
	lo, step     int64
	score        []score
	block        []score // greatest of each blockLen entries
	below, above score   // for blades beyond either end of the entries
}

// blockLen is how many entries share a block, fineLen how many a part of one has.
const (
	blockLen = 32
	fineLen  = 8
)

// over gives the bound for a blade standing anywhere in [y0, y1].
func (t *table) over(y0, y1 int64) score {
	i, j := unit.FloorDiv(y0-t.lo, t.step), unit.FloorDiv(y1-t.lo, t.step)
	n := int64(len(t.score))
	if i == j && i >= 0 && i < n {
		return t.score[i]
	}
	var best score
	some := false
	take := func(sc *score) {
		if !some || sc.Cmp(&best) > 0 {
			best, some = *sc, true
		}
	}
	if i < 0 {
		take(&t.below)
		i = 0
	}
	if j >= n {
		take(&t.above)
		j = n - 1
	}
	for i <= j {
		if i%blockLen == 0 && i+blockLen-1 <= j {
			take(&t.block[i/blockLen])
			i += blockLen
			continue
		}
		take(&t.score[i])
		i++
	}
	return best
}

// most bounds the worth of over by whole blocks.
func (t *table) most(y0, y1 int64) worth {
	i, j := unit.FloorDiv(y0-t.lo, t.step), unit.FloorDiv(y1-t.lo, t.step)
	n := int64(len(t.score))
	var most worth
	if i < 0 {
		most, i = t.below.Worth, 0
	}
	if j >= n {
		most, j = maxWorth(most, t.above.Worth), n-1
	}
	if i > j {
		return most
	}
	for b := i / blockLen; b <= j/blockLen; b++ {
		most = maxWorth(most, t.block[b].Worth)
	}
	return most
}

// closeTable makes the blocks and gives the greatest entry.
func (s *search) closeTable(t *table) score {
	var best score
	s.tick(int64(len(t.score))/64 + 1)
	t.block = s.scores.take((len(t.score) + blockLen - 1) / blockLen)
	for i := range t.score {
		sc := &t.score[i]
		if b := &t.block[i/blockLen]; i%blockLen == 0 || sc.Cmp(b) > 0 {
			*b = *sc
		}
		if i == 0 || sc.Cmp(&best) > 0 {
			best = *sc
		}
	}
	return best
}

// newTable spans the heights at which a blade can bound a strip.
func (s *search) newTable() table {
	in := s.in
	lo := in.stopDown(in.outerLo-in.kerf-in.gap) - in.step
	n := 0
	if in.outerHi > lo {
		n = int((in.outerHi-lo)/in.step) + 2
	}
	return table{lo: lo, step: in.step, score: s.scores.take(n)}
}

// farOut stands for the end of the arbor.
const farOut = int64(1) << 50

// tables builds the bounds on what lies beyond a blade with 0 to m further
// moving blades. It gives nil when the search was stopped.
func (s *search) tables(m int) []table {
	s.w = fences{} // positions on the arbor are those of the board
	tables := s.tablesOf.take(m + 1)
	for k := range tables {
		t := &tables[k]
		switch {
		case k > 0:
			*t = s.newTable()
			if !s.extend(t, &tables[k-1]) {
				return nil
			}
		case m > 0 || s.in.reripWidth > 0:
			*t = s.newTable()
			for i := range t.score {
				s.poll(i)
				t.score[i].Worth = s.rerip(t.lo+int64(i)*t.step+s.in.kerf, farOut)
			}
		default:
			*t = table{step: s.in.step}
		}
		t.below = s.closeTable(t)
		if k > 0 && tables[k-1].below.Cmp(&t.below) > 0 {
			t.below = tables[k-1].below
		}
	}
	return tables
}

// extend puts one more blade before those of next.
func (s *search) extend(t, next *table) bool {
	in := s.in
	n := len(t.score)
	// idle[i] bounds what follows when the next blade stands at i or beyond. A
	// blade that has left the wood cuts nothing and is followed by nothing.
	idle := s.scores.take(n + 1)
	cut := s.longs.take(n + 1) // whether the next blade at i is in the wood
	for i := n - 1; i >= 0; i-- {
		s.poll(i)
		if s.inWood(t.lo + int64(i)*in.step) {
			cut[i] = 1
		}
		idle[i] = next.score[i]
		idle[i].Blades += cut[i]
		if idle[i+1].Cmp(&idle[i]) > 0 {
			idle[i] = idle[i+1]
		}
	}
	level := s.newLevel(next, cut)
	widest := int(unit.CeilDiv(level.widest+in.kerf, in.step))
	var lead struct { // the strip that was best last
		w  *want
		at int
	}
	for i := range t.score {
		s.poll(i)
		face := t.lo + int64(i)*in.step + in.kerf
		first := min(int(unit.CeilDiv(face+in.gap-t.lo, in.step)), n)
		if i > 0 && face-in.step >= in.fullLo && face+level.widest <= in.fullHi &&
			level.over(first-1, i+widest) && idle[first] == idle[first-1] {
			t.score[i] = t.score[i-1]
			continue
		}
		if !s.spend(int64(len(in.wants))/4 + 1) {
			return false
		}
		best := idle[first]
		if in.reripWidth > 0 { // any gap beyond may be fed again
			if r := max(in.fullHi-max(face, in.fullLo), 0); r > 0 {
				best.Worth = best.Worth.Add(unit.WorthOf(in.reripV, r, in.length))
				best.Dev, best.Area, best.Blades = 0, unknownArea, 0
			}
		}
		if in.straight {
			face = max(face, 0)
		}
		if face >= in.outerLo {
			if lead.w != nil { // most often best again, or nearly
				s.tableStrips(&best, lead.w, face, next, cut, max(first, lead.at), lead.at+1)
			}
			for _, k := range in.byTop {
				w := &in.wants[k]
				if w.top.Add(idle[first].Worth).Cmp(best.Worth) < 0 {
					break // and so for those that follow
				}
				if at := s.tableStrips(&best, w, face, next, cut, first, n-1); at >= 0 {
					lead.w, lead.at = w, at
				}
			}
		}
		t.score[i] = best
	}
	return true
}

// tableStrips raises best to the greatest score of a strip of want w from face
// on with all that follows it. The widths of a random range are taken in blocks
// from the widest down; a block is passed over when its greatest width, longest
// run and greatest rest together fall short. It gives the entry at which the best
// strip ends, or -1 where none is better.
func (s *search) tableStrips(best *score, w *want, face int64, next *table, inWood []int64, first, last int) (at int) {
	at = -1
	step := next.step
	lo := max(int(unit.CeilDiv(face+w.lo-next.lo, step)), first)
	hi := min(int(unit.FloorDiv(min(face+w.hi, s.in.outerHi)-next.lo, step)), len(next.score)-1, last)
	beside, off := w.plain() && face >= s.in.fullLo, (next.lo-s.farSide.base)/step
	s.tick(1)
	for i := hi; i >= lo; i-- {
		s.poll(i)
		q := next.lo + int64(i)*step
		if i-lo >= 4 && (i == hi || i%fineLen == fineLen-1) {
			if start := s.shortFrom(best, w, face, next, i, max(lo, 0), i == hi); start <= i {
				i = start
				continue
			}
		}
		c := cut{}
		if beside {
			c = s.farSide.next(s, w, int64(i)+off, face, q)
		} else {
			c = s.cutOf(w, face, q, true)
		}
		if c.n > 0 && w.betters(best, q-face, c, &next.score[i], inWood[i]) {
			at = i
		}
	}
	return at
}

// shortFrom gives the first entry of a block that ends at entry i and falls short,
// a whole one where it begins or is all there is, else a fine one; or i + 1.
func (s *search) shortFrom(best *score, w *want, face int64, next *table, i, lo int, begins bool) int {
	wide := min(next.lo+int64(i)*next.step-face, w.hi)
	for size := blockLen; size >= fineLen; size /= blockLen / fineLen {
		if !begins && i%size != size-1 {
			continue
		}
		s.poll(i / fineLen)
		start := max(i&^(size-1), lo)
		c := s.counted(w, face, next.lo+int64(start)*next.step)
		if c.n == 0 || w.worth(wide, c).Add(next.block[i/blockLen].Worth).Cmp(best.Worth) < 0 {
			return start
		}
	}
	return i + 1
}

// betters raises best to a strip of the want with rest and a blade to follow, and
// reports whether that is better.
func (w *want) betters(best *score, width int64, c cut, rest *score, blades int64) bool {
	worth := w.worth(width, c).Add(rest.Worth)
	if worth.Cmp(best.Worth) < 0 {
		return false
	}
	all := w.scored(width, c)
	all.Add(rest)
	all.Blades += blades
	if all.Cmp(best) <= 0 {
		return false
	}
	*best = all
	return true
}

// scored scores a strip of one width.
func (w *want) scored(width int64, c cut) score {
	sc := score{Worth: w.worth(width, c), Area: width * c.n}
	if !w.it.Random {
		sc.Dev = max(width-int64(w.it.Min), int64(w.it.Min)-width)
	}
	return sc
}
