// Package costtogo bounds what can lie beyond a blade.
//
// In the board's frame (heights y = arbor - fence) what lies beyond the outermost fixed
// blade of a side depends only on the height of that blade, as long as travels are left
// out. So a table, made once per board, has for every height and every number of moving
// blades beyond it the most that they can bring: dynamic programming over the heights of
// the next blade, as for knapsacks (Martello and Toth, Knapsack Problems, 1990; Gilmore
// and Gomory, The Theory and Computation of Knapsack Functions, 1966).
//
// Worth is counted in coarse units that fit 63 bits. Every strip is rounded up, so a
// table is never below what is possible and exceeds it by at most Slack. The two sides
// share their code: the left one is the right one of the mirrored board, in which a blade
// at y stands at -y-kerf.
package costtogo

import (
	"math"
	"math/bits"
	"slices"

	"github.com/ripwright/ripwright/solver/internal/search/budget"
	"github.com/ripwright/ripwright/solver/internal/search/model"
	"github.com/ripwright/ripwright/solver/unit"
)

// never stands for the worth of the impossible: two of them still fit 64 bits.
const never = int64(-1) << 60

// Profile is the worth of strips by the heights at which they begin and end. Height i is
// that of a blade at Base + i Step; the first one is beside the wood, before it, the last
// one beyond.
type Profile struct {
	M       *model.Model
	N       int
	Base    int64
	Spread  int   // least distance of two moving blades, in stops
	Slack   int64 // the most that rounding adds to the worth of a plan
	shift   uint
	items   []wanted
	least   []int64 // by class: nm, a shorter run does not count
	spots   []*spot
	grids   []*grid
	pairs   []*pair
	both    map[[4]int32]model.Cut // mostBoth at most
	budget  *budget.Budget
	left    int // rounds until the budget is told of them
	buf     *Buffer
	of      *Profile // see Widened
	by      int
	caps    bool
	lasting bool
	// Short says that the memory was not enough: the profile must not be used.
	Short bool
}

// wanted is a want with its class: wants with the same least length count the same runs,
// except for what defects take away.
type wanted struct {
	w     *model.Want
	class int
	spot  *spot
}

// NewProfile measures a board without gaps. The profile and its tables count their work;
// once that has ended the budget, they must not be used.
func NewProfile(m *model.Model, buf *Buffer, b *budget.Budget) *Profile {
	p := &Profile{M: m, Base: m.StopDown(m.WoodLo - m.Kerf), Spread: int(m.Spread()), buf: buf, budget: b}
	p.N = int((m.StopUp(m.WoodHi)-p.Base)/m.Step) + 1
	p.scale()
	p.classify()
	return p
}

// perStep is how many rounds of a plain loop, of some nanoseconds each, make a step.
const perStep = 128

// Over counts rounds of a loop and reports whether the search has to stop. It is short
// enough to be inlined.
func (p *Profile) Over(rounds int) bool {
	p.left -= rounds
	return p.left < 0 && p.tell()
}

// tell counts the rounds since the last call in the budget. Once that has ended, no
// rounds are left.
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

// facedFrom gives the first stop of the fence at which the face may begin a strip beyond
// a fixed blade.
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

// scale chooses coarse units such that any plan's worth takes at most 57 bits.
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

// Up gives a worth in coarse units, rounded up.
func (p *Profile) Up(w unit.Worth) int64 {
	v := p.Down(w)
	if p.shift < 64 && w.Lo&(1<<p.shift-1) != 0 || p.shift >= 64 && p.exactly(v) != w {
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

// classify sorts the wants, greatest worth first, so that the rest is mostly skipped.
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

// mostBoth is how many strips between rough entries are remembered, bothBytes the memory
// of one.
const (
	mostBoth  = 1 << 15
	bothBytes = 96
)

// counted gives what a strip of a kind counts between blades at heights of two grids,
// both rough.
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
