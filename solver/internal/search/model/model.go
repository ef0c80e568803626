// Package model prepares a board, a saw and an order for a search: every length is a
// whole number of nanometres, every run one of micrometres, each blade's travel is
// narrowed to what its neighbours leave, and each item has the widths that fit it and the
// worth of its strips.
//
// It also scores a plan exactly (Rate), from the plan's positions alone, with nothing
// that a search uses. Claims of a search are checked against that: a plan is optimal if
// its exact score meets an independent bound.
//
// A board point y lies on the arbor at a = fence + y. A blade at a takes away
// [a, a+kerf].
package model

import (
	"slices"

	"github.com/ripwright/ripwright/solver/internal/search/packing"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// Model is one board on one saw for one order, as the board lies.
type Model struct {
	Board *wood.Board
	Saw   *saw.Saw
	Clear *wood.Clear

	Kerf, Step, Gap, Least int64

	Length           int64 // of the board, in micrometres
	FullLo, FullHi   int64 // the band that is clear from end to end
	OuterLo, OuterHi int64 // nothing is clear outside this band
	WoodLo, WoodHi   int64 // least near and greatest far edge
	// Gapless says that every y between WoodLo and WoodHi has wood at some x.
	Gapless bool

	FenceLo, FenceHi, Fence0 int64
	Blades                   []Blade
	Wants                    []Want
	Caps                     int // how many wants have a cap

	Gaps   []wood.Gap // of the board's defects, in order of x
	kinds  map[string]int
	kindAt []int              // of the gaps
	lists  map[string][]int16 // of gaps, by the kinds accepted

	bare, runs []wood.Stretch // scratch
}

// Blade is a blade with the stops that it can reach while all others keep their order and
// gaps. For a fixed one, Lo, Hi and Current are equal.
type Blade struct {
	Moving  bool
	Lo, Hi  int64
	Current int64
}

// New prepares a problem, which must be free of faults. The model keeps b and s and only
// reads them.
func New(b *wood.Board, s *saw.Saw, items []order.Item) *Model {
	return Packed(b, s, items, packing.All(items, b.Length))
}

// Packed is New with known lengths for crosscut items, by the item's index in the order.
// A crosscut item without an entry is left out.
func Packed(b *wood.Board, s *saw.Saw, items []order.Item, lengths map[int]*packing.Lengths) *Model {
	m := &Model{
		Board: b, Saw: s, Clear: wood.NewClear(b, s.Trim),
		Kerf: int64(s.Kerf), Step: int64(s.Step), Gap: int64(s.Gap), Least: int64(s.LeastStrip),
		FenceLo: int64(s.StepUp(s.Fence.Min)), FenceHi: int64(s.StepDown(s.Fence.Max)), Fence0: int64(s.Fence.Current),
	}
	m.Length = int64(m.Clear.Length())
	lo, hi := m.Clear.Full()
	m.FullLo, m.FullHi = int64(lo), int64(hi)
	lo, hi = m.Clear.Outer()
	m.OuterLo, m.OuterHi = int64(lo), int64(hi)
	lo, _, _, hi = b.Span()
	m.WoodLo, m.WoodHi = int64(lo), int64(hi)
	m.Gapless = !slices.ContainsFunc(b.Stations, func(st wood.Station) bool { return st.Near >= st.Far })
	m.windows()
	m.sortDefects()
	m.Wants = make([]Want, 0, min(len(items), 64)) // of more, mostly few fit the board
	for i := range items {
		m.addWant(i, &items[i], lengths[i])
	}
	return m
}

// windows narrows every blade's travel to what its neighbours leave.
func (m *Model) windows() {
	m.Blades = make([]Blade, len(m.Saw.Blades))
	for j, b := range m.Saw.Blades {
		w := Blade{Moving: b.Moving, Lo: int64(b.At), Hi: int64(b.At), Current: int64(b.At)}
		if b.Moving {
			w.Lo, w.Hi, w.Current = int64(m.Saw.StepUp(b.Travel.Min)), int64(m.Saw.StepDown(b.Travel.Max)), int64(b.Travel.Current)
			if j > 0 {
				w.Lo = max(w.Lo, m.StopUp(m.Blades[j-1].Lo+m.Kerf+m.Gap))
			}
		}
		m.Blades[j] = w
	}
	for j := len(m.Blades) - 2; j >= 0; j-- {
		if w := &m.Blades[j]; w.Moving {
			w.Hi = min(w.Hi, m.StopDown(m.Blades[j+1].Hi-m.Kerf-m.Gap))
		}
	}
}

// StopUp gives the least stop at or above v.
func (m *Model) StopUp(v int64) int64 { return unit.CeilDiv(v, m.Step) * m.Step }

// StopDown gives the greatest stop at or below v.
func (m *Model) StopDown(v int64) int64 { return unit.FloorDiv(v, m.Step) * m.Step }

// Spread is the least distance of two moving blades, in stops.
func (m *Model) Spread() int64 { return unit.CeilDiv(m.Kerf+m.Gap, m.Step) }

// Fences is how many stops the fence has.
func (m *Model) Fences() int { return int((m.FenceHi-m.FenceLo)/m.Step) + 1 }

// Fence gives the fence's stop t.
func (m *Model) Fence(t int) int64 { return m.FenceLo + int64(t)*m.Step }

// InWood reports whether a blade at height y has its kerf in the wood.
func (m *Model) InWood(y int64) bool {
	if m.Gapless {
		return m.Kerf > 0 && y+m.Kerf > m.WoodLo && y < m.WoodHi
	}
	return m.Board.Meets(unit.Length(y), unit.Length(y+m.Kerf))
}
