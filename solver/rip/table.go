package rip

import (
	"github.com/ripwright/ripwright/solver/unit"
)

// table bounds what lies on one side of a moving blade when only moving blades stand
// there: for a blade whose kerf starts at y of the board it is at least the score of all
// pockets and blades on that side, for any setting. Travels, caps, the fence and the
// blades' own travel are left out, so one table serves every fence position. Scores are
// sums of parts, so the greatest in lexicographic order can be computed blade by blade by
// dynamic programming.
type table struct {
	lo, step     int64
	score        []score
	block        []score // greatest of each blockLen entries
	below, above score   // for blades beyond either end of the entries
}

// blockLen is how many entries form a block, fineLen how many a part of one.
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

// tables builds the bounds on what lies beyond a blade with 0 to m further moving blades.
// It gives nil if the search was stopped.
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
