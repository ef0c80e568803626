package rip

import (
	"slices"

	"github.com/ripwright/ripwright/solver/internal/search/packing"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// instance is a problem prepared for the search. All positions are in nanometres, runs in
// micrometres.
type instance struct {
	ready    *ready
	p        *Problem
	clear    *wood.Clear
	straight bool
	kerf     int64
	step     int64
	gap      int64
	least    int64 // narrowest strip

	length             int64          // of the board, whole micrometres
	edges              int64          // stations of both edges, a measure of the cost of measuring
	area               int64          // see ready
	areas              *wood.Areas    // nil until a plan is written out
	face               unit.Area      // likewise
	gaps               []wood.Gap     // of the defects, in order of x
	bare               []wood.Stretch // scratch for runs
	fullLo, fullHi     int64          // band that is clear from end to end
	outerLo, outerHi   int64          // nothing is clear outside this band
	woodLo, woodHi     int64          // least near and greatest far edge
	gapless            bool           // every y between those two has wood at some x
	crossed            bool           // blades stand out of order, as in a setting to check
	reripWidth, reripV int64

	fenceLo, fenceHi, fence0 int64
	blades                   []blade
	wants                    []want
	byTop                    []int16 // the wants, greatest top first
	caps                     int     // how many wants have a cap
	perWidth                 worth   // most that a nanometre of width can be worth
	rates                    rates
}

// blade is one blade with the stops that it can reach while all the others keep their
// order and gaps; a fixed blade has lo == hi.
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
	lo, hi   int64            // widths that fit
	cap      int              // index among the capped wants, or -1
	open     int64            // what is still open; capped wants only
	limited  bool             // something is open, even if no board can overrun it
	top      worth            // of the widest strip over the whole length
	least    int64            // nm: a shorter run does not count
	full     cut              // of a strip that is clear from end to end
	refused  []int16          // defects that it does not accept, by their numbers in gaps
	crosscut *packing.Lengths // nil: not crosscut
}

// at gives the problem with the board lying at a skew.
func (r *ready) at(skew unit.Length) *instance { return r.of(r.p.at(skew)) }

// of gives the problem q, which differs only in how the board lies.
func (r *ready) of(q *Problem) *instance {
	s, b := &q.Saw, &q.Board
	in := &instance{
		ready: r, p: q, clear: wood.NewClear(b, s.Trim), straight: b.StraightNear,
		kerf: int64(s.Kerf), step: int64(s.Step), gap: int64(s.Gap), least: int64(s.LeastStrip),
		reripWidth: int64(s.Rerip.Width), reripV: s.Rerip.Value,
		fenceLo: int64(s.StepUp(s.Fence.Min)), fenceHi: int64(s.StepDown(s.Fence.Max)), fence0: int64(s.Fence.Current),
		length: r.length, area: r.area, gaps: r.gaps(b), edges: 2 * int64(len(b.Stations)), rates: r.unready,
	}
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
	in.windows()
	in.wants = make([]want, 0, len(r.wants))
	for _, w := range r.wants {
		if w.lo > in.outerHi-in.outerLo {
			continue
		}
		if w.index = len(in.wants); w.limited && in.canBind(&w) {
			w.cap = in.caps
			in.caps++
		}
		in.byTop = append(in.byTop, int16(w.index))
		in.wants = append(in.wants, w)
		in.rates.add(&w, in.length)
	}
	slices.SortStableFunc(in.byTop, func(a, b int16) int { return in.wants[b].top.Cmp(in.wants[a].top) })
	if in.perWidth = in.rates.perWidth; in.reripWidth > 0 {
		in.perWidth = maxWorth(in.perWidth, unit.WorthOf(in.reripV, 1, in.length))
	}
	return in
}

// windows narrows every blade's travel to what its neighbours leave.
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

// pockets is how many strips a plan can have.
func (in *instance) pockets() int { return in.p.Pockets() }

// canBind reports whether the strips of one board could overrun what is open by
// more than the last strip.
func (in *instance) canBind(w *want) bool {
	strips := min(int64(in.pockets()), (in.outerHi-in.outerLo)/w.lo)
	return strips > 1 && (strips-1)*in.amountFull(w) >= w.open
}

// amountFull bounds the amount that one strip can give.
func (in *instance) amountFull(w *want) int64 {
	return w.it.Counting().Strip(unit.Length(w.hi), unit.Run(in.length))
}
