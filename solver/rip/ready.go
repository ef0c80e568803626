package rip

import (
	"cmp"
	"encoding/binary"
	"slices"
	"unsafe"

	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/internal/search/budget"
	"github.com/ripwright/ripwright/solver/internal/search/packing"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/wood"
)

// ready is the part of a problem that is prepared once for all angles at which the board
// can lie: a skew moves wood across the board and never along it.
type ready struct {
	p       *Problem
	budget  *budget.Budget
	length  int64 // of the board, whole micrometres
	area    int64 // of the trimmed wood, nm times µm, or more
	wants   []want
	all     rates   // of every item of the order
	unready rates   // of the items that a limit left unprepared
	byX     []int16 // the board's defects, in order of x
	kinds   map[string]int16
	kindAt  []int16            // per defect
	refused map[string][]int16 // by the kinds accepted
	packing packing.Scratch
	pockets []int64 // widths that items have to fit; nil: any
	tests   forTests
}

// prepare prepares a problem. If a limit ends it, crosscut items that it has not reached
// count in the crude bound alone; hungry says that no plan is known, so that some of them
// are prepared all the same. The faults are those that only the lengths together have. If
// pockets are given, items that fit none of these widths are left out.
func prepare(p *Problem, b *budget.Budget, hungry bool, pockets []int64) (*ready, fault.List) {
	var faults fault.List
	r := p.unready()
	r.pockets, r.budget, r.refused = pockets, b, map[string][]int16{}
	r.sortDefects()
	ok := guarded(func() {
		hold(b, int64(len(p.Items))*int64(2*unsafe.Sizeof(want{})))
		r.wants = make([]want, 0, min(len(p.Items), 64)) // of more, mostly few fit the board
	})
	var left []int
	for i := range p.Items {
		// Items without crosscut lengths take next to nothing, so no limit leaves them
		// out.
		if b.Count(1); !ok || len(p.Items[i].Cuts) > 0 && !b.Spend(0) || !guarded(func() { r.addWant(i, &faults) }) {
			left = append(left, i)
		}
	}
	for i := range r.wants {
		r.all.add(&r.wants[i], r.length)
	}
	for _, i := range left {
		r.unready.addUnready(&p.Items[i], r)
	}
	if hungry {
		r.some(left, &faults)
	}
	r.all.join(&r.unready)
	return r, faults
}

// unready has only the sizes of a problem.
func (p *Problem) unready() *ready {
	return &ready{p: p, length: int64(p.Board.Length.Floor()), area: p.trimmed()}
}

// some prepares some of the items that a limit has left, so that there is something to
// cut; they still count as left.
func (r *ready) some(left []int, faults *fault.List) {
	const grace = 3_000
	b := r.budget
	r.budget = budget.New(budget.Limits{Work: grace, Memory: b.Left()})
	r.packing = packing.Scratch{}
	for _, i := range left {
		if r.budget.Ended() == NoLimit {
			guarded(func() { r.addWant(i, faults) })
		}
	}
	r.budget = b
}

// sortDefects sorts the defects and numbers their kinds.
func (r *ready) sortDefects() {
	all := r.p.Board.Defects
	r.byX, r.kindAt, r.kinds = make([]int16, len(all)), make([]int16, len(all)), map[string]int16{}
	for i := range all {
		r.byX[i] = int16(i)
		k, ok := r.kinds[all[i].Kind]
		if !ok {
			k = int16(len(r.kinds))
			r.kinds[all[i].Kind] = k
		}
		r.kindAt[i] = k
	}
	slices.SortStableFunc(r.byX, func(a, b int16) int { return cmp.Compare(all[a].FromX, all[b].FromX) })
}

// mostOpen limits an open area: far above what one board can yield, far below an
// overflow.
const mostOpen = int64(4_000_000_000_000_000_000)

func (r *ready) addWant(i int, faults *fault.List) {
	it := &r.p.Items[i]
	open, limited := it.Open()
	if limited && open == 0 {
		return // the item is full
	}
	if it.GreatestLength > 0 && it.GreatestLength < r.p.Board.Length {
		return
	}
	if len(it.Cuts) > 0 && !slices.ContainsFunc(it.Cuts, func(c order.Cut) bool { n, is := c.Open(); return n > 0 || !is }) {
		return // every length is full
	}
	lo, hi := r.widths(it)
	fits := lo <= hi && (r.pockets == nil || slices.ContainsFunc(r.pockets, func(w int64) bool { return lo <= w && w <= hi }))
	if !fits && (len(it.Cuts) == 0 || !mayCombine(it, r.length*1000)) {
		return
	}
	var cc *packing.Lengths
	if len(it.Cuts) > 0 {
		var out packing.Outcome
		switch cc, out = packing.New(it, r.length*1000, r.budget, &r.packing); out {
		case packing.Stopped:
			panic(stopped{})
		case packing.TooMany:
			tooManyWays(faults, i)
			return
		case packing.Ready:
		}
	}
	if !fits {
		return // it has no fault
	}
	if it.Measure == order.ByArea {
		if open > mostOpen/1000 {
			open = mostOpen
		} else {
			open *= 1000
		}
	}
	w := want{item: i, it: it, cap: -1, open: open, limited: limited,
		least: int64(it.LeastLength), refused: r.refusedBy(it), crosscut: cc}
	if cc != nil {
		w.least = max(w.least, cc.Shortest())
	}
	if w.least > r.length*1000 {
		return
	}
	w.full = w.whole(r.length)
	w.lo, w.hi = lo, hi
	w.top = w.worth(w.hi, w.full)
	r.wants = append(r.wants, w)
}

// widths gives the least and greatest width that fit an item on the saw.
func (r *ready) widths(it *order.Item) (lo, hi int64) {
	lo, hi = int64(it.Min), int64(it.Max)
	if !it.Random {
		t := int64(it.Off(r.p.Saw.Step))
		lo, hi = lo-t, hi+t
	}
	return max(lo, int64(r.p.Saw.LeastStrip)), hi
}

// refusedBy lists the defects that an item does not accept, by their numbers in byX.
// Items that accept the same kinds share a list.
func (r *ready) refusedBy(it *order.Item) []int16 {
	if len(r.byX) == 0 {
		return nil
	}
	accepted := make([]int16, 0, len(it.Accepts))
	for _, kind := range it.Accepts {
		if k, ok := r.kinds[kind]; ok {
			accepted = append(accepted, k)
		}
	}
	slices.Sort(accepted)
	accepted = slices.Compact(accepted)
	written := make([]byte, 0, 2*len(accepted))
	for _, k := range accepted {
		written = binary.LittleEndian.AppendUint16(written, uint16(k))
	}
	key := string(written)
	l, ok := r.refused[key]
	if !ok {
		hold(r.budget, 2*int64(len(r.byX))+int64(len(key)))
		r.budget.Count(int64(len(r.byX))/16 + 1)
		l = make([]int16, 0, len(r.byX))
		for n, d := range r.byX {
			if _, is := slices.BinarySearch(accepted, r.kindAt[d]); !is {
				l = append(l, int16(n))
			}
		}
		r.refused[key] = l
	}
	return l
}

// gaps gives the defects of the board as it lies, in order of x.
func (r *ready) gaps(b *wood.Board) []wood.Gap {
	all := make([]wood.Gap, len(r.byX))
	for n, d := range r.byX {
		all[n] = b.Defects[d].Gap()
	}
	return all
}

// bytes is the approximate memory of the problem at one more angle.
func (r *ready) bytes() int64 {
	const station, edge, stretch = 24, 2 * 2 * 8, 4 * 16 // with scratch for runs
	n, d := int64(len(r.p.Board.Stations)+2), int64(len(r.byX))
	return n*(station+edge+stretch) + d*int64(unsafe.Sizeof(wood.Defect{})+unsafe.Sizeof(wood.Gap{})+stretch) +
		int64(len(r.wants))*int64(unsafe.Sizeof(want{})+8)
}
