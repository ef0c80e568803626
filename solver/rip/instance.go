package rip

import (
	"fmt"
	"slices"

	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// instance is a problem made ready for the search. All positions are in
// nanometres, runs in micrometres.
type instance struct {
	p        *Problem
	clear    *wood.Clear
	straight bool
	kerf     int64
	step     int64
	gap      int64
	least    int64 // narrowest strip

	length             int64          // of the board, whole micrometres
	edges              int64          // stations of both edges, to say how long measuring takes
	bare               []wood.Stretch // scratch for runs
	fullLo, fullHi     int64          // band that is clear from end to end
	outerLo, outerHi   int64          // nothing is clear outside this band
	woodLo, woodHi     int64          // least near and greatest far edge
	gapless            bool           // every y between those two has wood at some x
	crossed            bool           // blades stand out of order, which a setting to check may have them
	reripWidth, reripV int64

	fenceLo, fenceHi, fence0 int64
	blades                   []blade
	wants                    []want
	byTop                    []int16 // the wants, greatest top first
	caps                     int     // how many wants have a cap
	perWidth                 worth   // most that a nanometre of width can be worth
}

// blade is one blade with the stops it can reach while all the others keep
// their order and gaps; a fixed blade has lo == hi.
type blade struct {
	moving  bool
	lo, hi  int64
	current int64
}

// want is an item that may be cut from this board.
type want struct {
	index    int // among the wants
	item     int // index in Problem.Items
	it       *order.Item
	lo, hi   int64      // widths that fit
	cap      int        // index among the capped wants, or -1
	open     int64      // what is still open; capped wants only
	top      worth      // of the widest strip over the whole length
	least    int64      // nm: a shorter run does not count
	full     cut        // what a strip gives that is clear from end to end
	refused  []wood.Gap // in order of x
	crosscut *crosscut  // nil: not crosscut
}

// newInstance gives the faults that only the lengths taken together have.
func newInstance(p *Problem) (*instance, fault.List) {
	var faults fault.List

	s, b := &p.Saw, &p.Board
	in := &instance{
		p: p, clear: wood.NewClear(b, s.Trim), straight: b.StraightNear,
		kerf: int64(s.Kerf), step: int64(s.Step), gap: int64(s.Gap), least: int64(s.LeastStrip),
		reripWidth: int64(s.Rerip.Width), reripV: s.Rerip.Value,
		fenceLo: int64(s.StepUp(s.Fence.Min)), fenceHi: int64(s.StepDown(s.Fence.Max)), fence0: int64(s.Fence.Current),
	}
	in.length = int64(in.clear.Length())
	lo, hi := in.clear.Full()
	in.fullLo, in.fullHi = int64(lo), int64(hi)
	lo, hi = in.clear.Outer()
	in.outerLo, in.outerHi = int64(lo), int64(hi)
	lo, _, _, hi = b.Span()
	in.woodLo, in.woodHi = int64(lo), int64(hi)
	in.gapless = true
	for _, st := range b.Stations {
		in.gapless = in.gapless && st.Near < st.Far
	}
	in.edges = 2 * int64(len(b.Stations))
	in.windows()
	for i := range p.Items {
		in.addWant(i, &faults)
	}
	for i := range in.wants {
		in.wants[i].index = i
		in.wants[i].top = in.wants[i].worth(in.wants[i].hi, in.wants[i].full)
		in.byTop = append(in.byTop, int16(i))
	}
	slices.SortStableFunc(in.byTop, func(a, b int16) int { return in.wants[b].top.Cmp(in.wants[a].top) })
	for i := range in.wants {
		in.perWidth = maxWorth(in.perWidth, in.density(&in.wants[i]))
	}
	if in.reripWidth > 0 {
		in.perWidth = maxWorth(in.perWidth, unit.WorthOf(in.reripV, 1, in.length))
	}
	return in, faults
}

// windows narrows every blade's travel to what its neighbours leave it.
func (in *instance) windows() {
	s := &in.p.Saw
	in.blades = make([]blade, len(s.Blades))
	for j, b := range s.Blades {
		w := blade{moving: b.Moving, lo: int64(b.At), hi: int64(b.At), current: int64(b.At)}
		if b.Moving {
			w.lo, w.hi, w.current = int64(s.StepUp(b.Travel.Min)), int64(s.StepDown(b.Travel.Max)), int64(b.Travel.Current)
		}
		if b.Moving && j > 0 {
			w.lo = max(w.lo, in.stopUp(in.blades[j-1].lo+in.kerf+in.gap))
		}
		in.blades[j] = w
	}
	for j := len(in.blades) - 2; j >= 0; j-- {
		if w := &in.blades[j]; w.moving {
			w.hi = min(w.hi, in.stopDown(in.blades[j+1].hi-in.kerf-in.gap))
		}
	}
}

func (in *instance) stopUp(v int64) int64   { return unit.CeilDiv(v, in.step) * in.step }
func (in *instance) stopDown(v int64) int64 { return unit.FloorDiv(v, in.step) * in.step }

// mostOpen is where an area still open is cut off: far above what one board can
// give, far below what would overflow.
const mostOpen = int64(4_000_000_000_000_000_000)

func (in *instance) addWant(i int, faults *fault.List) {
	it := &in.p.Items[i]
	open, limited := it.Open()
	if limited && open == 0 {
		return // filled: the item is off
	}
	if it.GreatestLength > 0 && it.GreatestLength < in.p.Board.Length {
		return
	}
	if len(it.Cuts) > 0 && !slices.ContainsFunc(it.Cuts, func(c order.Cut) bool { n, is := c.Open(); return n > 0 || !is }) {
		return // every length is filled
	}
	cc, ok := newCrosscut(it, in.length*1000)
	if !ok {
		faults.Add(fmt.Sprintf("order.items[%d].crosscut.lengths", i),
			"combine in more than %d ways on this board; give fewer, or multiples of one step", mostPackings)
		return
	}
	if it.Measure == order.ByArea {
		if open > mostOpen/1000 {
			open = mostOpen
		} else {
			open *= 1000
		}
	}
	w := want{item: i, it: it, lo: int64(it.Min), hi: int64(it.Max), cap: -1, open: open,
		least: int64(it.LeastLength), refused: in.refused(it), crosscut: cc}
	if cc != nil {
		w.least = max(w.least, cc.shortest())
	}
	if w.least > in.length*1000 {
		return
	}
	w.full = w.whole(in.length)
	if !it.Random {
		t := int64(it.Off(unit.Length(in.step)))
		w.lo, w.hi = w.lo-t, w.hi+t
	}
	w.lo = max(w.lo, in.least)
	if w.lo > w.hi || w.lo > in.outerHi-in.outerLo {
		return
	}
	if limited && in.canBind(&w) {
		w.cap = in.caps
		in.caps++
	}
	in.wants = append(in.wants, w)
}

// pockets is how many strips a plan can have.
func (in *instance) pockets() int {
	if in.straight {
		return len(in.blades)
	}
	return len(in.blades) - 1
}

// canBind reports whether the strips of one board could overrun what is open by
// more than the last strip.
func (in *instance) canBind(w *want) bool {
	strips := min(int64(in.pockets()), (in.outerHi-in.outerLo)/w.lo)
	return strips > 1 && (strips-1)*in.amountFull(w) >= w.open
}

// amountFull bounds the amount that one strip can give.
func (in *instance) amountFull(w *want) int64 {
	switch w.it.Measure {
	case order.ByLength:
		return in.length
	case order.ByArea:
		return (w.hi - int64(w.it.Joint)) * in.length
	}
	if w.it.PieceLength > 0 {
		return in.length * 1000 / int64(w.it.PieceLength)
	}
	return 1
}

// density is at least the worth of a strip over its width.
func (in *instance) density(w *want) worth {
	full := w.worth(w.hi, w.full)
	if w.byWidth() {
		return unit.WorthOf(w.it.Value, 1, in.length)
	}
	return divCeil(full, w.lo)
}
