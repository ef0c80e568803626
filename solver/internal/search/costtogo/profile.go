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
	"cmp"
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
	nearN  int // strips that begin below are not clear on the near side
	farN   int // strips that end from here on are not clear on the far side
	kinds  []kind
	both   map[[3]int32]int64 // mostBoth at most
	budget *budget.Budget
	due    int // rounds that it has not been told of yet
	face   []faceStrip
	faceAt []int32 // by height from 0 on: where its face strips begin
	buf    *Buffer
	wide   bool // see Widened
}

// kind is a want as the tables see it: a strip of it takes lo to hi stops from blade
// to blade, no fewer than the gap asks for. It is worth a value at lo and a slope more for each further stop; where
// it begins at a height below nearN, or ends at farN or above, what it is worth at
// most by that end alone.
type kind struct {
	w           *model.Want
	class       int // wants of one least length are of one class: they count the same runs
	lo, hi      int
	full, slope int64
	near, far   ends
}

// ends is what the strips of a kind that begin, or end, at rough heights count, and
// what they are worth.
type ends struct{ n, value, slope []int64 }

// NewProfile measures a board. The model has no defect that a want refuses, and a
// gapless board. The profile and its tables count what they do; where that has ended
// the budget they are worth nothing.
func NewProfile(m *model.Model, buf *Buffer, b *budget.Budget) *Profile {
	p := &Profile{M: m, Base: m.StopDown(m.WoodLo - m.Kerf), Spread: int(m.Spread()), buf: buf, budget: b}
	p.N = int((m.StopUp(m.WoodHi)-p.Base)/m.Step) + 1
	p.nearN = min(max(int(unit.CeilDiv(m.FullLo-m.Kerf-p.Base, m.Step)), 0), p.N)
	p.farN = min(max(int(unit.FloorDiv(m.FullHi-p.Base, m.Step))+1, 0), p.N)
	p.scale()
	p.measure()
	if m.Board.StraightNear {
		p.measureFace()
	}
	return p
}

// perStep is how many rounds of a plain loop, of some nanoseconds each, make a step.
const perStep = 128

// Over counts rounds of a loop and reports whether the search has to stop.
func (p *Profile) Over(rounds int) bool {
	if p.due += rounds; p.due >= 16*perStep {
		p.budget.Spend(int64(p.due / perStep))
		p.due %= perStep
	}
	return p.budget.Ended() != budget.None
}

// measuring is how many rounds it takes to measure the runs of a band.
func (p *Profile) measuring() int { return (len(p.M.Board.Stations)/8 + 1) * perStep / 2 }

// Y gives the height of a blade at entry i.
func (p *Profile) Y(i int) int64 { return p.Base + int64(i)*p.M.Step }

// Cells is how many numbers the profile holds.
func Cells(m *model.Model) int64 {
	rough := max(m.FullLo-m.WoodLo, 0) + max(m.WoodHi-m.FullHi, 0)
	cells := (min(rough, 2*(m.WoodHi-m.WoodLo))/m.Step + 4) * int64(len(m.Wants)) * 5
	near, far := max(m.FullLo-m.WoodLo, 0)/m.Step+2, max(m.WoodHi-m.FullHi, 0)/m.Step+2
	cells += min(min(near, mostBoth)*min(far, mostBoth)*int64(len(m.Wants)), mostBoth) * bothBytes / 8
	if m.Board.StraightNear {
		for i := range m.Wants {
			w := &m.Wants[i]
			cells += max(min(w.Hi, m.WoodHi)-w.Lo, 0)/m.Step*8 + 8
		}
		cells += (m.WoodHi - m.WoodLo) / m.Step
	}
	return cells
}

// scale chooses coarse units such that any plan's worth takes 57 bits at most.
func (p *Profile) scale() {
	m := p.M
	per := unit.Worth{}
	for i := range m.Wants {
		w := &m.Wants[i]
		top := w.Worth(w.Hi, w.Full.N)
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

func (p *Profile) measure() {
	m := p.M
	widest := 0
	var least []int64
	for k := range m.Wants {
		w := &m.Wants[k]
		x := kind{w: w, lo: max(int(unit.CeilDiv(m.Kerf+w.Lo, m.Step)), p.Spread), hi: int(unit.FloorDiv(m.Kerf+w.Hi, m.Step)), class: -1}
		if x.lo > x.hi {
			continue
		}
		for c, v := range least {
			if v == w.Least {
				x.class = c
			}
		}
		if x.class < 0 {
			x.class = len(least)
			least = append(least, w.Least)
		}
		x.full, x.slope = p.value(&x, w.Full.N)
		if w.ByWidth() {
			widest = max(widest, x.hi-x.lo)
		}
		p.kinds = append(p.kinds, x)
	}
	p.Slack = int64((widest + 2) * (len(m.Blades) + 1))
	p.sort()
	near, far := make([][]int64, len(least)), make([][]int64, len(least))
	for c := range least {
		near[c], far[c] = p.buf.ints(p.nearN), p.buf.ints(p.N-p.farN)
	}
	for i := range p.nearN {
		if p.Over(p.measuring()) {
			return
		}
		lo := p.Y(i) + m.Kerf
		p.count(least, lo, max(m.FullHi, lo), func(c int, n int64) { near[c][i] = n })
	}
	for i := p.farN; i < p.N; i++ {
		if p.Over(p.measuring()) {
			return
		}
		hi := p.Y(i)
		p.count(least, min(m.FullLo, hi), hi, func(c int, n int64) { far[c][i-p.farN] = n })
	}
	for k := range p.kinds {
		x := &p.kinds[k]
		x.near, x.far = p.ends(x, near[x.class]), p.ends(x, far[x.class])
	}
}

// sort puts what is worth most first, so that the rest is mostly passed over.
func (p *Profile) sort() {
	top := func(x *kind) int64 { return x.full + x.slope*int64(x.hi-x.lo) }
	slices.SortStableFunc(p.kinds, func(a, b kind) int { return cmp.Compare(top(&b), top(&a)) })
}

// count calls put with what the band [lo, hi] counts for each class.
func (p *Profile) count(least []int64, lo, hi int64, put func(c int, n int64)) {
	m := p.M
	runs := p.buf.runs[:0]
	if lo >= m.OuterLo && hi <= m.OuterHi {
		runs = m.Clear.Runs(runs, unit.Length(lo), unit.Length(hi))
	}
	for c, v := range least {
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

func (p *Profile) ends(x *kind, n []int64) ends {
	e := ends{n: n, value: p.buf.ints(len(n)), slope: p.buf.ints(len(n))}
	for i, v := range n {
		if p.Over(8) {
			break
		}
		e.value[i], e.slope[i] = p.value(x, v)
	}
	return e
}

// value of a strip of lo stops that counts n, and what each further stop adds.
func (p *Profile) value(x *kind, n int64) (value, slope int64) {
	if n == 0 {
		return never, 0
	}
	value = p.Up(x.w.Worth(int64(x.lo)*p.M.Step-p.M.Kerf, n))
	if x.w.ByWidth() {
		slope = p.Up(unit.WorthOf(x.w.It.Value, p.M.Step, n))
	}
	return value, slope
}

// mostBoth is how many strips between rough entries are remembered, bothBytes what one
// takes.
const (
	mostBoth  = 1 << 15
	bothBytes = 64
)

// counted gives what a strip of a class counts between blades at two entries that
// are rough both.
func (p *Profile) counted(x *kind, i, j int) int64 {
	key := [3]int32{int32(x.class), int32(i), int32(j)}
	if n, ok := p.both[key]; ok {
		return n
	}
	p.Over(p.measuring())
	n := p.M.Cut(x.w, p.Y(i)+p.M.Kerf, p.Y(j)).N
	if p.both == nil {
		p.both = map[[3]int32]int64{}
	}
	if len(p.both) == mostBoth {
		clear(p.both)
	}
	p.both[key] = n
	return n
}
