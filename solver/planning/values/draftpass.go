package values

import "math"

// pass rips a lot's boards once for what is left of a draft.
type pass struct {
	*draft
	lot    int
	mean   mean
	boards float64 // for at most so many
	alone  bool    // a row is worth what it costs alone, in place of its area
	turn   int
}

const (
	// draftWidths are the rows that a board is ripped for, others for the next: a search
	// for hundreds takes far longer and finds little more.
	draftWidths = 16
	// draftBest is the greatest value of a row, in that of as many square metres.
	draftBest = 100
)

// run reports whether a pass saves anything, and false if it was stopped.
func (p *pass) run(o *Options) (some, whole bool) {
	s := p.s
	v, asked := make([]int64, len(s.open)), make([]int64, len(s.open))
	p.price(v, asked, make([]float64, len(s.open)))
	out, whole := s.pl.priceLots([]int{p.lot}, v, asked, 0, true, o, func(out []priced) { p.price(v, asked, out[0].made) })
	if !whole {
		return false, false
	}
	found := &out[0].policy
	if p.term > 0 {
		found.after = p.terms.after[p.term]
	}
	boards := min(p.boards, p.pays(found))
	for k, left := range p.left {
		if left > 0 && found.made[k] > 0 && (!s.pl.solo[p.lot][k] || p.betters(k, found)) {
			s.offer(k, found)
		}
	}
	if boards <= 0 {
		return false, true
	}
	s.pl.pool = append(s.pl.pool, found)
	p.take(found, boards)
	return true, true
}

// price values the rows for the next boards, when those before have made so much in all.
// By area, a row is worth less where less than a strip is still asked of a board.
func (p *pass) price(v, asked []int64, made []float64) {
	each := p.boards / p.mean.boards // boards that one of the lot stands for
	rate := p.s.pl.perFace(p.lot)
	for k, left := range p.left {
		v[k], asked[k] = 0, 0
		if !p.alone {
			left -= each * made[k]
		}
		if left <= 0 {
			continue
		}
		part, m2 := 1.0, 0.0
		if p.alone {
			m2 = min(p.costs(k)/rate, draftBest)
		} else {
			m2 = p.s.pl.area(k) * min(left/each/p.strip(k, p.mean.metres), 1)
			part = min(left/each/p.s.pl.Demand.Rows[k].Units(p.s.open[k]), 1)
		}
		if p.later(k) {
			m2 *= draftLater
		}
		v[k], asked[k] = max(int64(1e8*m2), 1), max(int64(math.Ceil(part*float64(p.s.open[k]))), 1)
	}
	p.turn++
	now := thin(v, draftWidths, p.turn, func(k int) bool { return !p.later(k) })
	thin(v, max(draftWidths-now, draftWidths/4), p.turn, p.later)
}

// thin takes the value from rows of which something holds, others in each turn, until at
// most so many of them have one, and gives how many do.
func thin(v []int64, most, turn int, holds func(k int) bool) (kept int) {
	open := 0
	for k, value := range v {
		if value > 0 && holds(k) {
			open++
		}
	}
	of := (open + most - 1) / most
	for k, value := range v {
		if value == 0 || !holds(k) {
			continue
		}
		if turn++; turn%of > 0 {
			v[k] = 0
		} else {
			kept++
		}
	}
	return kept
}
