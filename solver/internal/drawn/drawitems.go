package drawn

import (
	"fmt"
	"math"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/unit"
)

// apart lists sets of features of which an item has at most one.
var apart = []Set{
	Of(CapLength, CapArea, CapStrips, CapPieces),
	Of(Range, PointRange, Tolerance),
	Of(PerLength, PerStrip),
	Of(Joint, Tolerance),
	Of(Crosscut, PerLength), Of(Crosscut, PerStrip), Of(Crosscut, Worthless), Of(Crosscut, CapStrips), Of(Crosscut, CapPieces), Of(Crosscut, Alike),
	Of(CutCap, PerLength), Of(CutCap, PerStrip), Of(CutCap, Worthless), Of(CutCap, CapStrips), Of(CutCap, CapPieces), Of(CutCap, Alike),
	Of(CutFilled, PerLength), Of(CutFilled, PerStrip), Of(CutFilled, Worthless), Of(CutFilled, CapStrips), Of(CutFilled, CapPieces), Of(CutFilled, Alike),
	Of(CutLoss, PerLength), Of(CutLoss, PerStrip), Of(CutLoss, Worthless), Of(CutLoss, CapStrips), Of(CutLoss, CapPieces), Of(CutLoss, Alike),
	Of(CappedCuts, PerLength), Of(CappedCuts, PerStrip), Of(CappedCuts, Worthless), Of(CappedCuts, CapStrips), Of(CappedCuts, CapPieces), Of(CappedCuts, Alike),
	Of(Refused, Accepted),
	Of(JustLong, TooLong),
}

const ofItems = caps | Set(1<<Filled|1<<Range|1<<PointRange|1<<Joint|1<<Tolerance|1<<PerLength|1<<PerStrip|1<<Worthless|1<<Alike|
	1<<LeastLength|1<<JustLong|1<<TooLong|1<<Crosscut|1<<CutCap|1<<CutLoss|1<<CutFilled|1<<Refused|1<<Accepted)

// bears reports whether one item can have all of these features.
func bears(s Set) bool {
	if lone := s & Of(Filled, TooLong); lone != 0 && s&(s-1) != 0 {
		return false
	}
	for _, a := range apart {
		if a &= s; a&(a-1) != 0 {
			return false
		}
	}
	return true
}

func (d *dice) items() {
	own := make([]Set, 1+d.IntN(4))
	if d.busy {
		own = make([]Set, 3+d.IntN(4))
	}
	for _, f := range (d.want & ofItems).All() {
		i := d.IntN(len(own))
		for n := 0; n < len(own) && !bears(own[i]|Of(f)); n++ {
			i = (i + 1) % len(own)
		}
		if !bears(own[i] | Of(f)) {
			i, own = len(own), append(own, 0)
		}
		own[i] |= Of(f)
	}
	if d.want&Of(Alike, Beside) != 0 && len(own) == 1 {
		own = append(own, 0)
	}
	for i, s := range own {
		it := order.Item{ID: fmt.Sprint("i", i)}
		d.item(&it, s)
		d.p.Items = append(d.p.Items, it)
	}
}

// wants are the features wanted of one item.
type wants struct {
	*dice
	own Set
}

// some decides on a feature of the item.
func (w *wants) some(f Feature, chance float64) bool {
	if Of(f)&(caps|Of(Range)) == 0 {
		chance *= w.rare
	}
	if !w.own.Has(f) && (w.Float64() >= chance || !bears(w.own|Of(f))) {
		return false
	}
	w.own |= Of(f)
	return true
}

func (d *dice) item(it *order.Item, own Set) {
	w := wants{d, own}
	if w.own&Of(CutCap, CutLoss, CutFilled, CappedCuts) != 0 || w.some(Crosscut, 0.2) {
		w.own |= Of(Crosscut)
	}
	if w.own&(Of(PartMade, CappedCuts)) != 0 && w.own&Of(CapLength, CapArea, CapStrips, CapPieces) == 0 {
		for !w.some([]Feature{CapLength, CapArea, CapStrips, CapPieces}[d.IntN(4)], 1) { // caps are never rare
		}
	}
	k := w.width(it)
	w.worth(it, k)
	w.amounts(it, k)
	l := d.p.Board.Length
	if w.some(LeastLength, 0.35) {
		it.LeastLength = d.length(0, l)
	}
	switch {
	case w.some(TooLong, 0.03):
		it.GreatestLength = l - 1 - d.length(0, 50*mm)
		it.LeastLength = min(it.LeastLength, it.GreatestLength)
	case w.some(JustLong, 0.1):
		it.GreatestLength = l
	case d.IntN(10) == 0:
		it.GreatestLength = l + d.length(0, 500*mm)
	}
	refuses, accepts := w.some(Refused, 0.5), w.some(Accepted, 0.5)
	for _, kind := range kinds {
		if accepts || !refuses && d.IntN(3) == 0 {
			it.Accepts = append(it.Accepts, kind)
		}
	}
}

// width gives the item the width of a pocket, or a range around it.
func (w *wants) width(it *order.Item) band {
	d, least := w.dice, w.p.Saw.LeastStrip
	k := band{0, least + d.length(0, 25*mm)}
	other := k
	if all := d.bands[d.IntN(len(d.bands))]; len(all) > 0 && (d.IntN(6) > 0 || w.own != 0) {
		k = all[d.IntN(len(all))]
		other = all[d.IntN(len(all))]
	}
	it.Min, it.Max = k.width(), k.width()
	switch {
	case w.some(Joint, 0.1) && !w.own.Has(PointRange) || w.some(Range, 0.35):
		it.Random = true
		it.Min = max(min(k.width(), other.width())-d.length(0, 8*mm), least)
		it.Max = max(k.width(), other.width()) + d.length(0, 12*mm)
	case w.some(PointRange, 0.06):
		it.Random = true
	default:
		off := d.p.Saw.Step / 2
		if w.some(Tolerance, 0.3) {
			it.Tolerance = min(off+1+d.length(0, 5*mm), order.MaxTolerance)
			off = it.Tolerance
		}
		if d.IntN(2) == 0 {
			it.Min += d.length(0, 2*off) - off
		}
		it.Min = max(it.Min, least)
		it.Max = it.Min
	}
	if w.own.Has(Joint) {
		it.Panel, it.Joint = 400*mm, min(d.length(mm/10, 3*mm), it.Min-1)
	}
	return k
}

// worth gives the item values near those of the others.
func (w *wants) worth(it *order.Item, k band) {
	d := w.dice
	across, along := k.width().MM()/1000, d.p.Board.Length.MM()/1000
	each := float64(1+d.IntN(6)) / 4
	switch d.IntN(6) {
	case 0, 1:
		each = 0.5 + d.Float64()
	case 2, 3: // worth far more or far less than the others
		each = math.Exp(4*d.Float64() - 2.5)
	}
	if w.own.Has(Crosscut) {
		w.cuts(it, each*across)
		return
	}
	switch {
	case w.some(PerLength, 0.15):
		it.Basis, it.Value = order.PerLength, int64(each*across*1e6)
	case w.some(PerStrip, 0.12):
		it.Basis, it.Value = order.PerPiece, int64(each*across*along*0.7*1e6)
	default:
		it.Value = int64(each * 1e6)
	}
	if w.some(Worthless, 0.04) {
		it.Value = 0
	}
	if n := len(d.p.Items); n > 0 && w.some(Alike, 0.15) {
		if o := &d.p.Items[d.IntN(n)]; len(o.Cuts) == 0 && !w.own.Has(PerLength) && !w.own.Has(PerStrip) && !w.own.Has(Worthless) {
			it.Value, it.Basis = o.Value, o.Basis
		}
	}
}

func (w *wants) cuts(it *order.Item, each float64) {
	d, l := w.dice, w.p.Board.Length
	if w.some(CutLoss, 0.6) {
		it.CutKerf, it.EndTrim = d.length(0, 5*mm), d.length(0, 12*mm)*unit.Length(d.IntN(2))
		if it.CutKerf+it.EndTrim == 0 {
			it.CutKerf = mm
		}
	}
	capped, filled := w.some(CutCap, 0.4), w.some(CutFilled, 0.15)
	for n := 1 + d.IntN(3); len(it.Cuts) < n || filled && len(it.Cuts) < 2; {
		c := order.Cut{Length: d.length(l/8, l*3/4)}
		c.Value = int64(each * c.Length.MM() / 1000 * (0.5 + d.Float64()) * 1e6)
		if len(it.Cuts) == 0 && capped || d.IntN(3) == 0 {
			c.Limited, c.Made = true, d.Int64N(3)
			c.Required = c.Made + 1 + d.Int64N(3)
		}
		if len(it.Cuts) == 1 && filled {
			c.Limited, c.Made = true, 1+d.Int64N(3)
			c.Required = d.Int64N(c.Made + 1)
		}
		twice := false
		for _, o := range it.Cuts {
			twice = twice || o.Length == c.Length
		}
		if !twice {
			it.Cuts = append(it.Cuts, c)
		}
	}
}

// amounts limits the item so that about two strips overrun what is open.
func (w *wants) amounts(it *order.Item, k band) {
	d, l := w.dice, w.p.Board.Length
	limit := func(by order.Measure, full int64) {
		open := int64(float64(full)*d.Float64()*1.2) + 1
		if by == order.ByPieces {
			open = 1 + d.Int64N(max(full, 1))
		}
		it.Measure, it.Required = by, open
		if w.some(PartMade, 0.3) {
			it.Made = 1 + d.Int64N(open+2)
			it.Required += it.Made
		}
	}
	length := int64(l / unit.Micrometre)
	of := 1.0
	if d.busy {
		of = 2
	}
	switch {
	case w.some(CapLength, 0.15*of):
		limit(order.ByLength, length)
	case w.some(CapArea, 0.2*of):
		limit(order.ByArea, int64(k.width()-it.Joint)*length/1000)
	case w.some(CapStrips, 0.12*of):
		limit(order.ByPieces, 1)
	case w.some(CapPieces, 0.12*of):
		it.PieceLength = d.length(l/8, l*2/3)
		limit(order.ByPieces, int64(l/it.PieceLength))
	case w.some(Filled, 0.05):
		it.Measure, it.Required = order.Measure(1+d.IntN(2)), d.Int64N(1000)
		it.Made = it.Required + d.Int64N(5)
	}
}
