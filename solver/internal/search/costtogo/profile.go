// Package costtogo bounds what can lie beyond a blade.
//
// In the board's frame (heights y = arbor - fence) what lies beyond the outermost
// fixed blade of a side depends on nothing but the height at which that blade
// stands, as long as travels are left out. So a table, made once a board, gives for
// every height and every number of moving blades beyond the most that they can
// bring: dynamic programming over the heights at which the next blade stands, as
// for knapsacks (Martello and Toth, Knapsack Problems, 1990; Gilmore and Gomory,
// The Theory and Computation of Knapsack Functions, 1966).
//
// Worth is counted in coarse units that fit 63 bits. Every strip is rounded up, so
// a table is never below what can be had; it exceeds it by Slack at most. The two
// sides are one code: the left one is the right one of the mirrored board, in which
// a blade at y stands at -y-kerf.
package costtogo

import (
	"math"
	"math/bits"
	"slices"

	"github.com/ripwright/ripwright/solver/internal/search/budget"
	"github.com/ripwright/ripwright/solver/internal/search/model"
	"github.com/ripwright/ripwright/solver/unit"
)

// never stands for the worth of what cannot be: two of them still fit 64 bits.
const never = int64(-1) << 60

// Profile is what strips give by the height at which they begin and end. Height i
// is that of a blade at Base + i Step; the first one stands beside the wood, before
// it, the last one beyond.
type Profile struct {
	M      *model.Model
	N      int
	Base   int64
	Spread int   // stops that two moving blades stand apart at least
	Slack  int64 // what rounding adds to the worth of a plan at most
	shift  uint
	items  []wanted
	least  []int64 // by class: nm, a shorter run does not count
	spots  []*spot
	grids  []*grid
	pairs  []*pair
	both   map[[4]int32]model.Cut // mostBoth at most
	budget *budget.Budget
	left   int // rounds until it is told of them
	buf    *Buffer
	of     *Profile // see Widened
	by     int
	caps   bool
	// Short says that there was not the memory: the profile is worth nothing.
	Short bool
}

// wanted is a want with its class: wants of one least length count the same runs, but for
// what defects take away.
type wanted struct {
	w     *model.Want
	class int
	spot  *spot
}

// NewProfile measures a board, a gapless one. The profile and its tables count what they
// do; where that has ended the budget they are worth nothing.
func NewProfile(m *model.Model, buf *Buffer, b *budget.Budget) *Profile {
	p := &Profile{M: m, Base: m.StopDown(m.WoodLo - m.Kerf), Spread: int(m.Spread()), buf: buf, budget: b}
	p.N = int((m.StopUp(m.WoodHi)-p.Base)/m.Step) + 1
	p.scale()
	p.classify()
	return p
}

// perStep is how many rounds of a plain loop, of some nanoseconds each, make a step.
const perStep = 128

// Over counts rounds of a loop and reports whether the search has to stop. It is kept
// short enough to be inlined.
func (p *Profile) Over(rounds int) bool {
	p.left -= rounds
	return p.left < 0 && p.tell()
}

// tell tells the budget of the rounds since it was told last. Once that has ended it,
// none are left.
func (p *Profile) tell() bool {
	const rounds = 16 * perStep
	if p.budget.Spend(int64((rounds - p.left) / perStep)) {
		p.left = rounds
	}
	return p.ended()
}

// ended reports whether a limit has ended the search.
func (p *Profile) ended() bool { return p.budget.Ended() != budget.None }

// measuring is how many rounds it takes to measure the runs of a band.
func (p *Profile) measuring() int { return (len(p.M.Board.Stations)/8 + 1) * perStep / 2 }

// cutting is how many rounds it takes to count a strip of a want: its runs, what
// defects leave of them, and the pieces that they are cut to.
func (p *Profile) cutting(w *model.Want) int {
	n := p.measuring() + 4*len(w.Refused)
	if w.Crosscut() {
		n += 4 * perStep
	}
	return n
}

// Y gives the height of a blade at entry i.
func (p *Profile) Y(i int) int64 { return p.Base + int64(i)*p.M.Step }

// zero gives the height, or the last one before it, of a fixed blade at the first stop of
// the fence; at each further stop it is one less.
func (p *Profile) zero(at int64) int {
	return int(unit.FloorDiv(at-p.M.FenceLo-p.Base, p.M.Step))
}

// facedFrom gives the first stop of the fence at which the face may begin a strip beyond a
// fixed blade.
func (p *Profile) facedFrom(at int64) int {
	if !p.M.Board.StraightNear {
		return math.MaxInt
	}
	return int(unit.CeilDiv(at+p.M.Kerf-p.M.FenceLo, p.M.Step))
}

// Cells is how many numbers the profile and its sides hold.
func Cells(m *model.Model) int64 {
	offs := map[int64]bool{0: true}
	for j := range m.Blades {
		if b := &m.Blades[j]; !b.Moving {
			offs[b.Lo-m.StopDown(b.Lo)] = true
		}
	}
	grids := int64(len(offs))
	rough := min(max(m.FullLo-m.WoodLo, 0)+max(m.WoodHi-m.FullHi, 0), 2*(m.WoodHi-m.WoodLo))/m.Step + 4
	cells := rough * int64(len(m.Wants)) * (1 + 4*grids)
	near, far := max(m.FullLo-m.WoodLo, 0)/m.Step+2, max(m.WoodHi-m.FullHi, 0)/m.Step+2
	cells += min(min(near, mostBoth)*min(far, mostBoth)*int64(len(m.Wants)), mostBoth) * bothBytes / 8
	if m.Board.StraightNear {
		for i := range m.Wants {
			w := &m.Wants[i]
			cells += (max(min(w.Hi, m.WoodHi)-w.Lo, 0)/m.Step*8 + 8) * grids
		}
		cells += (m.WoodHi - m.WoodLo) / m.Step * grids
	}
	return cells
}

// scale chooses coarse units such that any plan's worth takes 57 bits at most.
func (p *Profile) scale() {
	m := p.M
	per := unit.Worth{}
	for i := range m.Wants {
		w := &m.Wants[i]
		top := w.Worth(w.Hi, w.AtMost(w.Full.N))
		if top.Cmp(per) > 0 {
			per = top
		}
	}
	strips := uint(bits.Len64(uint64(len(m.Blades))))
	n := uint(bits.Len64(per.Lo))
	if per.Hi > 0 {
		n = 64 + uint(bits.Len64(uint64(per.Hi)))
	}
	if n+strips > 57 {
		p.shift = n + strips - 57
	}
}

// Up gives a worth in coarse units, rounded up; Down rounded down.
func (p *Profile) Up(w unit.Worth) int64 {
	v := p.Down(w)
	if p.shift > 0 && p.exactly(v) != w {
		v++
	}
	return v
}

// Down gives a worth in coarse units, rounded down.
func (p *Profile) Down(w unit.Worth) int64 {
	if p.shift >= 64 {
		return w.Hi >> (p.shift - 64)
	}
	return int64(w.Lo>>p.shift | uint64(w.Hi)<<(64-p.shift))
}

// exactly gives what coarse units stand for.
func (p *Profile) exactly(v int64) unit.Worth {
	if p.shift >= 64 {
		return unit.Worth{Hi: v << (p.shift - 64)}
	}
	return unit.Worth{Hi: int64(uint64(v) >> (64 - p.shift)), Lo: uint64(v) << p.shift}
}

// Worth gives the most that a bound in coarse units stands for.
func (p *Profile) Worth(v int64) unit.Worth { return p.exactly(v) }

// classify sorts the wants, what is worth most first, so that the rest is mostly
// passed over.
func (p *Profile) classify() {
	m := p.M
	widest := int64(0)
	for k := range m.Wants {
		w := &m.Wants[k]
		c := slices.Index(p.least, w.Least)
		if c < 0 {
			c = len(p.least)
			p.least = append(p.least, w.Least)
		}
		if w.ByWidth() {
			widest = max(widest, (w.Hi-w.Lo)/m.Step+1)
		}
		p.items = append(p.items, wanted{w, c, p.spotOf(w)})
	}
	p.Slack = (widest + 2) * int64(len(m.Blades)+1)
	slices.SortStableFunc(p.items, func(a, b wanted) int {
		x := a.w.Worth(a.w.Hi, a.w.Full)
		return -x.Cmp(b.w.Worth(b.w.Hi, b.w.Full))
	})
}

// count calls put with what the band [lo, hi] counts for each class.
func (p *Profile) count(lo, hi int64, put func(c int, n int64)) {
	m := p.M
	runs := p.buf.runs[:0]
	if lo >= m.OuterLo && hi <= m.OuterHi {
		runs = m.Clear.Runs(runs, unit.Length(lo), unit.Length(hi))
	}
	for c, v := range p.least {
		n := int64(0)
		for _, r := range runs {
			if int64(r.Length())*int64(unit.Micrometre) >= v {
				n += int64(r.Length())
			}
		}
		put(c, n)
	}
	p.buf.runs = runs
}

// mostBoth is how many strips between rough entries are remembered, bothBytes what one
// takes.
const (
	mostBoth  = 1 << 15
	bothBytes = 96
)

// counted gives what a strip of a kind counts between blades at a height of one grid
// and a height of another one, rough both.
func (p *Profile) counted(k *kind, near *grid, i int, far *grid, j int) model.Cut {
	class, w := k.class, k.w
	if k.spot != nil {
		class = len(p.least) + k.spot.id
	}
	key := [4]int32{int32(class), int32(i), int32(j), int32(near.id<<16 | far.id)}
	if n, ok := p.both[key]; ok {
		return n
	}
	p.Over(p.cutting(w))
	n := p.M.Cut(w, p.Y(i)+near.off+p.M.Kerf, p.Y(j)+far.off)
	if p.both == nil {
		p.both = map[[4]int32]model.Cut{}
	}
	if len(p.both) == mostBoth {
		clear(p.both)
	}
	p.both[key] = n
	return n
}
