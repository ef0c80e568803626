package audit

import (
	"cmp"
	"math"
	"math/bits"
	"slices"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/unit"
)

// mostNodes limits the search for better packings of one plan. If it ends there, the
// pieces are still known to fit and to have the stated worth.
const mostNodes = 2000

// shortestOpen is the shortest length of an item that is still wanted, or 0.
func shortestOpen(it *order.Item) (short unit.Length) {
	for i := range it.Cuts {
		c := &it.Cuts[i]
		if c.Limited && c.Made >= c.Required {
			continue
		}
		if short == 0 || c.Length < short {
			short = c.Length
		}
	}
	return short
}

// pieces checks the crosscut pieces of a strip and gives their value: they lie in the
// runs, a trim from both ends and a kerf apart, no run has more of a length than are
// open, and no packing of a run is worth more.
func (a *auditor) pieces(pocket int, k *rip.Pocket, it *order.Item) int64 {
	if len(it.Cuts) == 0 {
		if len(k.Pieces) > 0 {
			a.differ(Pieces, "pocket %d has pieces of an item without lengths", pocket)
		}
		return 0
	}
	total, next := int64(0), 0
	a.packer.take(it)
	for _, r := range k.Runs {
		var used [order.MaxCuts]int64
		value := int64(0)
		from, end := unit.Length(r.From)*1000+it.EndTrim, unit.Length(r.To)*1000-it.EndTrim
		for ; next < len(k.Pieces); next++ {
			c := &k.Pieces[next]
			if c.From >= unit.Length(r.To)*1000 {
				break // of a later run
			}
			if c.Cut < 0 || c.Cut >= len(it.Cuts) || c.From < from || c.To > end || c.To-c.From != it.Cuts[c.Cut].Length {
				a.differ(Pieces, "piece %d of pocket %d, %d to %d nm, does not fit its run", next, pocket, c.From, c.To)
				return 0
			}
			cut := &it.Cuts[c.Cut]
			if used[c.Cut]++; cut.Limited && used[c.Cut] > cut.Required-cut.Made {
				a.differ(Pieces, "a run of pocket %d has %d pieces of %d nm; %d are open", pocket, used[c.Cut], cut.Length, cut.Required-cut.Made)
				return 0
			}
			value += cut.Value
			from = c.To + it.CutKerf
		}
		if a.packer.better(int64(end-unit.Length(r.From)*1000-it.EndTrim+it.CutKerf), value) {
			a.differ(Pieces, "a run of pocket %d, %v, is packed for %d; a better packing exists", pocket, r, value)
		}
		total += value
	}
	if next < len(k.Pieces) {
		a.differ(Pieces, "pocket %d has pieces outside its runs", pocket)
	}
	return total
}

// packer looks for packings of runs that are worth more than others.
type packer struct {
	nodes int // left to look at
	than  int64
	cuts  []packed
}

// packed is a length with the kerf beside it, and how many are open.
type packed struct{ need, value, open int64 }

// take prepares an item's open lengths, greatest value per length first.
func (b *packer) take(it *order.Item) {
	b.cuts = b.cuts[:0]
	for i := range it.Cuts {
		c := &it.Cuts[i]
		open := int64(math.MaxInt64)
		if c.Limited {
			open = c.Required - c.Made
		}
		if open > 0 && c.Value > 0 {
			b.cuts = append(b.cuts, packed{int64(c.Length + it.CutKerf), c.Value, open})
		}
	}
	slices.SortFunc(b.cuts, func(c, d packed) int {
		ch, cl := bits.Mul64(uint64(c.value), uint64(d.need))
		dh, dl := bits.Mul64(uint64(d.value), uint64(c.need))
		return cmp.Or(cmp.Compare(dh, ch), cmp.Compare(dl, cl))
	})
}

// better reports whether some packing of a room, with a kerf counted after every piece,
// is worth more. It is a depth-first branch and bound; its bound fills the rest of the
// room with fractions of the next length.
func (b *packer) better(room, than int64) bool {
	b.than = than
	return b.fill(0, room, 0)
}

func (b *packer) fill(k int, room, value int64) bool {
	if value > b.than {
		return true
	}
	if b.nodes--; k == len(b.cuts) || b.nodes < 0 {
		return false
	}
	c := &b.cuts[k]
	for n := min(c.open, room/c.need); n >= 0; n-- {
		left, so := room-n*c.need, value+n*c.value
		rest := int64(0)
		if k+1 < len(b.cuts) {
			rest, _ = ratio(left, b.cuts[k+1].value, b.cuts[k+1].need)
		}
		if so+rest <= b.than {
			return false // and still less with fewer of this length
		}
		if b.fill(k+1, left, so) {
			return true
		}
	}
	return false
}
