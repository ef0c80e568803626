package oracle

import (
	"slices"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/wood"
)

// trial tries the settings at one skew.
type trial struct {
	p      *Problem
	most   int
	answer *Answer
	kinds  map[uint64]*Plan // by the count of each item, four bits each
	turn   wood.Turn        // the turn of the board of p
	skew   int64
	board  *lying
	pos    []int64

	turning money // what the turn costs
	cost    money // what the cycle costs
	here    *Plan // best of the setting
	pockets []*pocket
	items   []int
	only    []int       // the items by pocket that may be assigned; nil: all
	whole   func(*Plan) // gets every plan; may be nil
	sum     [MaxItems]int64
	largest [MaxItems]int64
	strips  [MaxItems][]int64 // what each strip of an item counts
}

func (t *trial) over() bool { return t.most > 0 && t.answer.Plans > t.most }

// stops lists the whole multiples of the step within a travel.
func (t *trial) stops(v saw.Travel) (all []int64) {
	step := int64(t.p.Saw.Step)
	for x := int64(v.Min)/step*step - step; x <= int64(v.Max); x += step {
		if x >= int64(v.Min) {
			all = append(all, x)
		}
	}
	return all
}

// all tries every setting.
func (t *trial) all() {
	s := &t.p.Saw
	where := make([][]int64, len(s.Blades))
	for j, b := range s.Blades {
		if b.Moving {
			where[j] = t.stops(b.Travel)
		} else {
			where[j] = []int64{int64(b.At)}
		}
	}
	t.pos = make([]int64, len(where))
	var place func(j int, f int64)
	place = func(j int, f int64) {
		if t.over() {
			return
		}
		if j == len(where) {
			t.setting(f)
			return
		}
		for _, x := range where[j] {
			if !t.p.held(j, x) && (j == 0 || x-t.pos[j-1]-int64(s.Kerf) >= int64(s.Gap)) {
				t.pos[j] = x
				place(j+1, f)
			}
		}
	}
	for _, f := range t.stops(s.Fence) {
		if !t.p.held(-1, f) {
			place(0, f)
		}
	}
}

// setting tries every assignment of items to the pockets of one setting.
func (t *trial) setting(f int64) {
	s, kerf := &t.p.Saw, int64(t.p.Saw.Kerf)
	base := Plan{Setting: Setting{Turn: t.turn, Skew: t.skew, Fence: f}, Travel: abs(f - int64(s.Fence.Current))}
	move := base.Travel
	for j, x := range t.pos {
		if b := &s.Blades[j]; b.Moving {
			d := abs(x - int64(b.Travel.Current))
			base.Travel += d
			move = max(move, d)
		}
		if inWood(&t.board.board, x-f, x-f+kerf) {
			base.Blades++
		} else {
			t.answer.Seen.Off = true
		}
	}
	t.pockets = t.pockets[:0]
	first, last := t.pos[0]-f, t.pos[len(t.pos)-1]-f
	if t.p.Board.StraightNear {
		t.pockets = append(t.pockets, t.board.pocket(0, first))
	} else {
		base.worth = base.worth.plus(t.board.again(-1<<50, first))
	}
	for j := 1; j < len(t.pos); j++ {
		lo := t.pos[j-1] + kerf - f
		if t.p.Board.StraightNear {
			lo = max(lo, 0)
		}
		t.pockets = append(t.pockets, t.board.pocket(lo, t.pos[j]-f))
	}
	base.worth = base.worth.plus(t.board.again(last+kerf, 1<<50))
	cost := t.p.cost(move)
	if t.here != nil && cost != t.cost {
		t.answer.Seen.Costs = true
	}
	t.cost, t.here = cost, &Plan{}
	t.items = append(t.items[:0], make([]int, len(t.pockets))...)
	t.assign(0, 0, base)
	t.answer.Settings = append(t.answer.Settings, t.here)
}

// assign gives pocket i and the following ones every item that they may have.
func (t *trial) assign(i int, kind uint64, at Plan) {
	if i == len(t.pockets) {
		t.done(kind, &at)
		return
	}
	k := t.pockets[i]
	for n := range k.options {
		o := &k.options[n]
		if t.only != nil && o.item != t.only[i] {
			continue
		}
		sum, largest := t.sum[o.item], t.largest[o.item]
		t.sum[o.item], t.largest[o.item] = sum+o.amt, max(largest, o.amt)
		t.strips[o.item] = append(t.strips[o.item], o.amt)
		if t.capped(o.item) {
			t.answer.Seen.Items[o.item].Capped = true
		} else {
			to := at
			to.worth, to.Dev, to.Area = at.worth.plus(o.worth), at.Dev+o.dev, at.Area+o.area
			t.items[i] = o.item
			t.assign(i+1, kind+1<<(4*o.item), to)
		}
		t.sum[o.item], t.largest[o.item] = sum, largest
		t.strips[o.item] = t.strips[o.item][:len(t.strips[o.item])-1]
	}
	if t.only != nil && t.only[i] >= 0 {
		return
	}
	t.items[i] = -1
	at.worth = at.worth.plus(k.none)
	t.assign(i+1, kind, at)
}

// capped reports whether the strips of an item but the largest already reach what is
// open.
func (t *trial) capped(item int) bool {
	it := &t.p.Items[item]
	if t.p.forced(item) > 0 {
		return t.beyond(item)
	}
	open := it.Required - it.Made
	switch it.Measure {
	case order.Unlimited:
		return false
	case order.ByArea:
		if open >= 1<<62/1000 {
			return false
		}
		open *= 1000
	case order.ByLength, order.ByPieces:
	}
	return t.sum[item]-t.largest[item] >= open
}

// beyond reports whether the strips of a forced item other than the forced ones, the
// smallest of them, exceed what the forced ones leave open.
func (t *trial) beyond(item int) bool {
	it := &t.p.Items[item]
	strips := slices.Clone(t.strips[item])
	slices.Sort(strips)
	n := int64(t.p.forced(item))
	if it.Measure == order.Unlimited || int64(len(strips)) <= n {
		return false
	}
	strips = strips[:int64(len(strips))-n]
	along := int64(t.p.Board.Length) / 1000
	var each, unit int64
	switch it.Measure {
	case order.ByLength:
		each, unit = along, 1
	case order.ByArea:
		wide := int64(it.Max)
		if !it.Random {
			wide += int64(it.Tolerance)
		}
		each, unit = ((wide-int64(it.Joint))*along+999)/1000, 1000
	case order.ByPieces:
		if each, unit = 1, 1; it.PieceLength > 0 {
			each = along * 1000 / int64(it.PieceLength)
		}
	case order.Unlimited:
	}
	open := it.Required - it.Made - n*each
	if open <= 0 {
		return true
	}
	sum := int64(0)
	for _, v := range strips[:len(strips)-1] {
		sum += v
	}
	return sum/unit >= open
}

// obeys reports whether a whole plan has all forced strips.
func (t *trial) obeys() bool {
	if t.p.By != nil {
		for item, n := range t.p.By.Forced {
			if len(t.strips[item]) < n {
				return false
			}
		}
	}
	return true
}

// done records a whole plan.
func (t *trial) done(kind uint64, at *Plan) {
	if t.answer.Plans++; !t.obeys() {
		return
	}
	at.net = at.worth.minus(t.cost).minus(t.turning)
	at.Pos, at.Items = t.pos, t.items
	if t.whole != nil {
		t.whole(at)
	}
	keep := func(best *Plan) {
		pos, items := best.Pos, best.Items
		*best = *at
		best.Pos, best.Items = append(pos[:0], t.pos...), append(items[:0], t.items...)
	}
	if t.here.Pos == nil || at.less(t.here) {
		keep(t.here)
	}
	best := t.kinds[kind]
	if best == nil {
		best = &Plan{}
		t.kinds[kind] = best
	} else if !at.less(best) {
		return
	}
	keep(best)
}
