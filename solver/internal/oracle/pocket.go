package oracle

import (
	"slices"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/wood"
)

// pocket is what the band between two bounds may be used for.
type pocket struct {
	none    money // its worth when fed again
	options []option
}

// option is an item that the pocket may have.
type option struct {
	item           int
	worth          money
	dev, area, amt int64
}

// lying is the board as it lies at one skew.
type lying struct {
	p       *Problem
	seen    *Seen
	board   wood.Board
	st      []wood.Station
	lo, hi  int64 // clear from end to end, after trim
	length  int64 // whole micrometres
	pockets map[[2]int64]*pocket
	packs   map[[2]int64][2]int64 // by item and run: value, and 1 if a piece fits
}

func (p *Problem) lying(skew int64, seen *Seen) *lying {
	l := &lying{p: p, seen: seen, board: Skewed(&p.Board, skew), pockets: map[[2]int64]*pocket{}, packs: map[[2]int64][2]int64{}}
	l.st, l.length = stationed(&l.board), int64(p.Board.Length)/1000
	near, far := l.st[0].Near, l.st[0].Far
	for _, s := range l.st {
		near, far = max(near, s.Near), min(far, s.Far)
	}
	l.lo, l.hi = int64(near), int64(far-p.Saw.Trim)
	if !p.Board.StraightNear {
		l.lo += int64(p.Saw.Trim)
	}
	return l
}

// again is what the band from lo to hi is worth when fed again.
func (l *lying) again(lo, hi int64) money {
	w := min(hi, l.hi) - max(lo, l.lo)
	if s := &l.p.Saw; s.Rerip.Width > 0 && w >= int64(s.Rerip.Width) {
		l.seen.Again = true
		return product(s.Rerip.Value, w, l.length)
	}
	return money{}
}

func (l *lying) pocket(lo, hi int64) *pocket {
	if k := l.pockets[[2]int64{lo, hi}]; k != nil {
		return k
	}
	k := &pocket{none: l.again(lo, hi)}
	l.pockets[[2]int64{lo, hi}] = k
	if hi-lo <= 0 || hi-lo < int64(l.p.Saw.LeastStrip) {
		return k
	}
	var runs [][2]int64
	for i := range l.p.Items {
		it := &l.p.Items[i]
		if !l.wide(it, hi-lo) || l.off(i, it) {
			continue
		}
		if runs == nil {
			runs = runsOf(&l.board, l.st, int64(l.p.Saw.Trim), lo, hi)
		}
		if o, ok := l.option(i, lo, hi, runs); ok {
			k.options = append(k.options, o)
		}
	}
	l.seen.Beside = l.seen.Beside || len(k.options) > 1
	return k
}

// off reports whether an item is not cut from this board at all.
func (l *lying) off(i int, it *order.Item) bool {
	if l.p.By != nil && l.p.By.Forbidden[i] {
		return true
	}
	if l.p.forced(i) > 0 {
		return it.GreatestLength > 0 && l.p.Board.Length > it.GreatestLength
	}
	return it.GreatestLength > 0 && l.p.Board.Length > it.GreatestLength || it.Measure != order.Unlimited && it.Made >= it.Required
}

// wide reports whether a width may be the item's.
func (l *lying) wide(it *order.Item, w int64) bool {
	if it.Random {
		return w >= int64(it.Min) && w <= int64(it.Max)
	}
	d := abs(w - int64(it.Min))
	return 2*d <= int64(l.p.Saw.Step) || d <= int64(it.Tolerance)
}

// option is what the band from lo to hi gives item i; false: nothing that counts.
func (l *lying) option(i int, lo, hi int64, runs [][2]int64) (o option, ok bool) {
	it, seen := &l.p.Items[i], &l.seen.Items[i]
	left := Bare(&l.board, it, lo, hi, runs)
	seen.Refused = seen.Refused || !slices.Equal(left, runs)
	var counted, pieces, value int64
	for _, r := range left {
		d := r[1] - r[0]
		if d*1000 < int64(it.LeastLength) {
			seen.Short = true
			continue
		}
		if len(it.Cuts) > 0 {
			v, some := l.pack(i, d)
			if !some {
				continue
			}
			value += v
		}
		counted += d
		if it.PieceLength > 0 {
			pieces += d * 1000 / int64(it.PieceLength)
		}
	}
	if counted == 0 {
		return o, false
	}
	seen.Fits = true
	seen.Parts = seen.Parts || len(left) > 1
	for _, d := range l.board.Defects {
		seen.Accepted = seen.Accepted || slices.Contains(it.Accepts, d.Kind) && int64(d.FromY) < hi && int64(d.ToY) > lo
	}
	if it.PieceLength == 0 {
		pieces = 1
	}
	w := hi - lo
	o = option{item: i, area: w * counted}
	switch it.Measure {
	case order.ByLength:
		o.amt = counted
	case order.ByArea:
		o.amt = (w - int64(it.Joint)) * counted
	case order.ByPieces:
		o.amt = pieces
	case order.Unlimited:
	}
	sold := w
	if !it.Random {
		sold = int64(it.Min)
		o.dev = abs(w - sold)
	}
	if len(it.Cuts) > 0 {
		o.worth = product(value, 1e15)
		return o, true
	}
	switch it.Basis {
	case order.PerArea:
		o.worth = product(it.Value, sold, counted)
	case order.PerLength:
		o.worth = product(it.Value, 1e9, counted)
	case order.PerPiece:
		o.worth = product(it.Value, 1e15)
	}
	return o, true
}

func (l *lying) pack(item int, run int64) (int64, bool) {
	key := [2]int64{int64(item), run}
	v, known := l.packs[key]
	if !known {
		value, ok := Pack(&l.p.Items[item], run)
		if v[0] = value; ok {
			v[1] = 1
		}
		l.packs[key] = v
	}
	return v[0], v[1] == 1
}

func abs(v int64) int64 { return max(v, -v) }
