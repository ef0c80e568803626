package rip

import (
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/unit"
)

// rates are the most that strips can be worth by their size. They bound plans of which
// nothing else is known: at angles that the search has not reached, and if it was stopped
// before it had its own bound.
type rates struct {
	perWidth worth // of a nanometre of width over the whole board
	perArea  worth // of a nanometre of width over a counted micrometre
	piece    worth // of a strip, the part that does not depend on its length
	strip    worth // of any strip
}

// of bounds the worth of plans with a number of strips at most, on a band of a width with
// an area of wood: by the width, the wood, and the strips.
func (q *rates) of(in *Problem, pockets, width, area, length int64) worth {
	width = max(width, 0)
	all := times(q.perWidth, width)
	byArea := times(q.perArea, area).Add(times(q.piece, pockets))
	byStrips := times(q.strip, pockets)
	if in.Saw.Rerip.Width > 0 {
		again := unit.WorthOf(in.Saw.Rerip.Value, 1, length)
		all = maxWorth(all, times(again, width))
		byArea = maxWorth(byArea, times(unit.WorthOf(in.Saw.Rerip.Value, 1, 1), area).Add(times(q.piece, pockets)))
		byStrips = byStrips.Add(times(again, width))
	}
	return minWorth(all, minWorth(byArea, byStrips))
}

// Bound is an upper bound on the worth of any plan of a problem, in any turn of its
// board, by the sizes of the board, its strips and its items alone. It takes each station
// and item once, and no blade: it is the bound of a search that a limit ended before it
// began.
func Bound(p *Problem) unit.Worth {
	r := p.unready()
	for i := range p.Items {
		r.all.addUnready(&p.Items[i], r)
	}
	return r.crude(p.skews())
}

// add takes a want into account.
func (q *rates) add(w *want, length int64) {
	one := rates{perWidth: w.perWidth(length), strip: w.top}
	one.byLength(w.it, w.lo)
	q.join(&one)
}

// perWidth is at least the worth of a strip over its width.
func (w *want) perWidth(length int64) worth {
	if w.byWidth() {
		return unit.WorthOf(w.it.Value, 1, length).Add(divCeil(w.it.Bonus, w.lo))
	}
	return divCeil(w.top, w.lo)
}

// addUnready is add for an item that is not prepared: crosscut lengths are taken as if
// every run could be cut up without loss.
func (q *rates) addUnready(it *order.Item, r *ready) {
	lo, hi := r.widths(it)
	if lo > hi {
		return
	}
	var one rates
	one.byLength(it, lo)
	one.strip = one.piece.Add(times(times(one.perArea, hi), r.length))
	one.perWidth = times(one.perArea, r.length).Add(divCeil(one.piece, lo))
	q.join(&one)
}

// byLength sets the worth of strips of an item, at least lo wide, by what is counted of
// them.
func (q *rates) byLength(it *order.Item, lo int64) {
	switch {
	case len(it.Cuts) > 0:
		for i := range it.Cuts {
			c := &it.Cuts[i]
			each := divCeil(times(unit.WorthOf(c.Value, int64(unit.SquareMetre), 1), 1000), int64(c.Length))
			q.perArea = maxWorth(q.perArea, divCeil(each, lo))
		}
	case !it.ByRun():
		q.piece = it.Sold(unit.Length(lo), 1)
	default: // a range's is in proportion to the width, any other's the same for all
		q.perArea = divCeil(it.Sold(unit.Length(lo), 1), lo)
	}
	q.piece = q.piece.Add(it.Bonus)
}

func (q *rates) join(o *rates) {
	q.perWidth, q.perArea = maxWorth(q.perWidth, o.perWidth), maxWorth(q.perArea, o.perArea)
	q.piece, q.strip = maxWorth(q.piece, o.piece), maxWorth(q.strip, o.strip)
}

// crude bounds the worth of any plan with the board as it lies.
func (in *instance) crude() worth {
	return in.rates.of(in.p, int64(in.pockets()), in.outerHi-in.outerLo, in.area, in.length)
}

// crude bounds the worth of any plan at the angles from one on, either way. The band that
// the wood needs is convex in the angle, so it is widest at one of the ends.
func (r *ready) crude(angles []unit.Length) worth {
	widest := int64(0)
	for _, skew := range angles[max(len(angles)-2, 0):] {
		b := r.p.Board.Skewed(skew)
		lo, _, _, hi := b.Span()
		widest = max(widest, int64(hi-lo-r.p.trims()))
	}
	return r.all.of(r.p, int64(r.p.Pockets()), widest, r.area, r.length)
}

// trims is what is taken off both edges.
func (p *Problem) trims() unit.Length {
	if p.Board.StraightNear {
		return p.Saw.Trim
	}
	return 2 * p.Saw.Trim
}

// Pockets is how many strips a plan can have.
func (p *Problem) Pockets() int {
	if p.Board.StraightNear {
		return len(p.Saw.Blades)
	}
	return len(p.Saw.Blades) - 1
}

// trimmed is the area of the wood less the trims, or more: if the trims meet between two
// stations, they are taken to meet at the station.
func (p *Problem) trimmed() (sum int64) {
	p.Board.Stretches(func(dx, n0, n1, f0, f1 unit.Length) {
		a, b := max(f0-n0-p.trims(), 0), max(f1-n1-p.trims(), 0)
		sum += unit.MulDivCeil(int64(dx), int64(a+b), 2000)
	})
	return sum
}
