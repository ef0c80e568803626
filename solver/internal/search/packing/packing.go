// Package packing packs the lengths that an item is crosscut to into runs.
package packing

import (
	"slices"
	"sort"
	"unsafe"

	"github.com/ripwright/ripwright/solver/internal/search/budget"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/unit"
)

// Lengths has the best packing of an item's lengths into a run of any length. Pieces lie
// a kerf apart and a trim is taken off both ends, so they fit if their lengths, each with
// a kerf, total at most the run less both trims plus a kerf.
//
// The worth of a run grows in steps with its length: exact holds them, with each length
// used as often as is open. A bound needs more. Two separate runs can use up to twice
// what is open, and a longer run that contains both only once. So over an interval of
// fences the steps of relaxed are used, which use every length as often as it fits: their
// worth for a run is at least their worth for its parts.
type Lengths struct {
	kerf, trim     int64 // nm
	cuts           []openCut
	exact, relaxed []packing
	from           [][]packing // from[k]: with cuts k and those after it alone
	relaxedKerf    int64       // kerf and trim for relaxed; 0 if a trim is too short
	relaxedTrim    int64       // to make up for the kerf between two runs
}

// openCut is a length of which some are still wanted.
type openCut struct {
	index  int   // in the item's Cuts
	length int64 // nm
	value  int64
	most   int64 // number open, at most what a board holds
}

// packing is a step: from this need on, a run has this worth.
type packing struct{ need, value int64 }

// Most limits the steps of one item on one board.
const Most = 20_000

// Scratch is memory that is reused from item to item.
type Scratch [2][]packing

// Outcome of New.
type Outcome int

// The outcomes.
const (
	Ready   Outcome = iota
	TooMany         // the lengths combine in more ways than can be kept
	Stopped         // by the budget
)

// New prepares an item that has lengths for runs up to length, in nanometres.
func New(it *order.Item, length int64, b *budget.Budget, scratch *Scratch) (*Lengths, Outcome) {
	c := &Lengths{kerf: int64(it.CutKerf), trim: int64(it.EndTrim)}
	limited := false
	for i := range it.Cuts {
		cut := &it.Cuts[i]
		fit := max((length-2*c.trim+c.kerf)/(int64(cut.Length)+c.kerf), 0)
		open, is := cut.Open()
		if is && open == 0 {
			continue
		}
		if is && open < fit {
			limited = true
			fit = open
		}
		c.cuts = append(c.cuts, openCut{index: i, length: int64(cut.Length), value: cut.Value, most: fit})
	}
	m := making{b, scratch}
	var out Outcome
	if c.exact, out = c.steps(length-2*c.trim+c.kerf, c.kerf, false, m); out != Ready {
		return nil, out
	}
	c.relaxed, c.relaxedKerf, c.relaxedTrim = c.exact, c.kerf, c.trim
	// Parts of a run lose two trims each, the run itself only two in all; between two
	// parts it may need one more kerf than they do.
	short := 4*c.trim < c.kerf
	if short {
		c.relaxedKerf, c.relaxedTrim = 0, 0
	}
	if short || limited {
		if c.relaxed, out = c.steps(length-2*c.relaxedTrim+c.relaxedKerf, c.relaxedKerf, true, m); out != Ready {
			return nil, out
		}
	}
	return c, Ready
}

// All gives the lengths of all items with lengths that fit a board, by the item's index
// in the order, without limits. Those that combine in too many ways are left out.
func All(items []order.Item, board unit.Length) map[int]*Lengths {
	all := map[int]*Lengths{}
	var scratch Scratch
	for i := range items {
		if c, out := New(&items[i], int64(board.Floor())*int64(unit.Micrometre), budget.New(budget.Limits{}), &scratch); out == Ready && len(c.cuts) > 0 {
			all[i] = c
		}
	}
	return all
}

// making is what steps are made with.
type making struct {
	budget  *budget.Budget
	scratch *Scratch
}

// bytesAStep is how many bytes are cleared in the time of a step.
const bytesAStep = 1 << 11

func (m *making) hold(bytes int64) bool {
	return m.budget.Hold(bytes) && m.budget.Spend(bytes/bytesAStep)
}

// steps lists the packings that no other dominates in need and value, by rising need.
// Those of exact are also listed for the cuts from each one on; the last of these lists
// has no packing.
func (c *Lengths) steps(room, kerf int64, unlimited bool, m making) ([]packing, Outcome) {
	if !unlimited {
		c.from = make([][]packing, len(c.cuts)+1)
		c.from[len(c.cuts)] = []packing{{}}
	}
	all, more := append(m.scratch[0][:0], packing{}), m.scratch[1][:0]
	defer func() { *m.scratch = Scratch{all, more} }()
	for k := len(c.cuts) - 1; k >= 0; k-- {
		need, most := c.cuts[k].length+kerf, c.cuts[k].most
		if unlimited {
			most = max(room/need, 0)
		}
		// Copies in powers of two give any number of them.
		for many := int64(1); most > 0; many = min(2*many, most) {
			most -= many
			if n := min(2*len(all), Most+2); cap(more) < n {
				if !m.hold(packingBytes * int64(2*n)) {
					return nil, Stopped
				}
				m.budget.Free(packingBytes * int64(cap(more)))
				more = make([]packing, 0, 2*n)
			}
			if !m.budget.Spend(int64(len(all))/16 + 1) {
				return nil, Stopped
			}
			more = merge(more[:0], all, many*need, many*c.cuts[k].value, room)
			all, more = more, all
			if len(all) > Most {
				return nil, TooMany
			}
		}
		if !unlimited {
			if !m.hold(packingBytes * int64(len(all))) {
				return nil, Stopped
			}
			c.from[k] = slices.Clone(all)
		}
	}
	if !unlimited {
		return c.from[0], Ready
	}
	if !m.hold(packingBytes * int64(len(all))) {
		return nil, Stopped
	}
	return slices.Clone(all), Ready
}

const packingBytes = int64(unsafe.Sizeof(packing{}))

// merge merges a list with a shifted copy of itself. If the result exceeds Most, it ends
// soon after.
func merge(to, all []packing, need, value, room int64) []packing {
	best, i := int64(-1), 0
	for j := range all {
		b := packing{all[j].need + need, all[j].value + value}
		if b.need > room || len(to) > Most {
			break
		}
		for ; i < len(all) && (all[i].need < b.need || all[i].need == b.need && all[i].value >= b.value); i++ {
			if all[i].value > best {
				best = all[i].value
				to = append(to, all[i])
			}
		}
		if b.value > best {
			best = b.value
			to = append(to, b)
		}
	}
	for ; i < len(all) && len(to) <= Most; i++ {
		if all[i].value > best {
			best = all[i].value
			to = append(to, all[i])
		}
	}
	return to
}

// Worth gives the value of the best packing of a run in micrometres, in millionths of
// money; if not exact, at least the worth of any number of runs within it.
func (c *Lengths) Worth(run int64, exact bool) int64 {
	steps, room := c.relaxed, run*1000-2*c.relaxedTrim+c.relaxedKerf
	if exact {
		steps, room = c.exact, run*1000-2*c.trim+c.kerf
	}
	i := sort.Search(len(steps), func(i int) bool { return steps[i].need > room })
	if i == 0 {
		return 0
	}
	return steps[i-1].value
}

// Shortest is the shortest run that gives a piece, in nanometres.
func (c *Lengths) Shortest() int64 {
	s := c.cuts[0].length
	for _, cut := range c.cuts {
		s = min(s, cut.length)
	}
	return s + 2*c.trim
}

// Lay calls put with the pieces of the best packing of a run in micrometres, one after
// the other: the index among the item's lengths, and where the piece begins and ends
// after the beginning of the run, in nanometres. They lie in the order of the item's
// lengths.
func (c *Lengths) Lay(run int64, put func(cut int, from, to int64)) {
	x := c.trim
	for k, n := range c.pieces(run) {
		for range n {
			put(c.cuts[k].index, x, x+c.cuts[k].length)
			x += c.cuts[k].length + c.kerf
		}
	}
}

// pieces gives how many of each open cut the best packing of a run holds: of equally
// valuable packings the one with the least need, and among those the one with the most of
// the first cuts.
func (c *Lengths) pieces(run int64) []int64 {
	room := run*1000 - 2*c.trim + c.kerf
	i := sort.Search(len(c.exact), func(i int) bool { return c.exact[i].need > room })
	counts := make([]int64, len(c.cuts))
	if i == 0 {
		return counts
	}
	// The step is decomposed cut by cut: with a number of the first ones, the rest must
	// give what is left.
	left := c.exact[i-1]
	for k := range c.cuts {
		rest := c.from[k+1]
		each := packing{c.cuts[k].length + c.kerf, c.cuts[k].value}
		for n := min(c.cuts[k].most, left.need/each.need); n >= 0; n-- {
			want := packing{left.need - n*each.need, left.value - n*each.value}
			at := sort.Search(len(rest), func(i int) bool { return rest[i].need >= want.need })
			if at < len(rest) && rest[at] == want {
				counts[k], left = n, want
				break
			}
		}
	}
	return counts
}
