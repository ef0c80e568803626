package lpmodel

import (
	"fmt"
	"math/rand/v2"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

const mm = unit.Millimetre

// Spoil adds knots, crosscut lengths on half the items and, to every
// fourth problem, a skew of one step either way.
func Spoil(p *rip.Problem, seed uint64) {
	r := rand.New(rand.NewPCG(seed, 2))
	for range 2 + r.IntN(4) {
		x, y := unit.Length(r.IntN(int(p.Board.Length/mm)-80))*mm, unit.Length(r.IntN(260))*mm
		p.Board.Defects = append(p.Board.Defects, wood.Defect{FromX: x, ToX: x + unit.Length(20+r.IntN(60))*mm,
			FromY: y, ToY: y + unit.Length(8+r.IntN(30))*mm, Kind: []string{"knot", "stain"}[r.IntN(2)]})
	}
	if r.IntN(4) == 0 { // each angle is a programme of its own, so only some problems
		p.Saw.Skew = p.Saw.Step
	}
	for i := range p.Items {
		it := &p.Items[i]
		if i%3 == 0 {
			it.Accepts = []string{"stain"}
		}
		if i%2 == 0 {
			continue
		}
		perMM := it.Value / 1_000_000 * int64(it.Min/mm) // a piece's value by its length
		it.Value, it.LeastLength, it.Measure, it.Required = 0, 0, order.Unlimited, 0
		it.CutKerf, it.EndTrim = 4*mm, unit.Length(r.IntN(3)*8)*mm
		for k := range 3 {
			l := unit.Length(300+k*260+r.IntN(150)) * mm
			it.Cuts = append(it.Cuts, order.Cut{Length: l, Value: perMM * int64(l/mm) * int64(85+r.IntN(30)) / 100,
				Limited: k == 1, Required: int64(1 + r.IntN(3))})
		}
	}
}

// Problem is larger than brute force can solve: a 2 mm grid over a board of up to 300 mm,
// five blades of which up to two are fixed, eight widths, caps in pieces.
func Problem(seed uint64) *rip.Problem {
	r := rand.New(rand.NewPCG(seed, 1))
	even := func(lo, hi int) unit.Length { return unit.Length(lo+r.IntN((hi-lo)/2+1)*2) * mm }
	width := even(180, 300)
	crook, taper := unit.Length(r.IntN(16))*mm, unit.Length(r.IntN(20))*mm
	p := &rip.Problem{Board: wood.Board{Length: unit.Length(1800+r.IntN(2400)) * mm}}
	p.Board.Stations = []wood.Station{{X: 0, Near: 0, Far: width}, {X: p.Board.Length, Near: crook, Far: width - taper}}
	p.Saw = saw.Saw{Kerf: 4 * mm, Step: 2 * mm, Gap: 24 * mm, LeastStrip: 24 * mm, Trim: 2 * mm}
	fence := even(0, 60)
	p.Saw.Fence = saw.Travel{Min: fence, Max: fence, Current: fence}
	at := fence - even(0, 20)
	for range 5 {
		b := saw.Blade{At: at}
		if r.IntN(3) > 0 {
			b = saw.Blade{Moving: true, Travel: saw.Travel{Min: at - even(0, 60), Max: at + even(20, 100)}}
			b.Travel.Current = b.Travel.Min
		}
		p.Saw.Blades = append(p.Saw.Blades, b)
		at += even(30, 90)
	}
	for i := range 8 {
		w := even(26, 110)
		it := order.Item{ID: fmt.Sprint(i), Min: w, Max: w, Value: int64(6+r.IntN(10)) * 1_000_000, LeastLength: unit.Length(r.IntN(1500)) * mm}
		if r.IntN(2) == 0 {
			it.Measure, it.Required = order.ByPieces, 1
		}
		p.Items = append(p.Items, it)
	}
	return p
}

// LineProblem has the size of a board on a line, at one fence stop and on a 2 mm grid:
// two fixed blades with a moving one on either side, a board of 300 mm, ten widths of
// which two have a cap that binds.
func LineProblem(seed uint64) *rip.Problem {
	r := rand.New(rand.NewPCG(seed, 3))
	even := func(lo, hi int) unit.Length { return unit.Length(lo+r.IntN((hi-lo)/2+1)*2) * mm }
	crook, taper := unit.Length(r.IntN(12))*mm, unit.Length(r.IntN(14))*mm
	p := &rip.Problem{Board: wood.Board{Length: unit.Length(2400+r.IntN(1800)) * mm}}
	p.Board.Stations = []wood.Station{{X: 0, Near: 0, Far: 300 * mm}, {X: p.Board.Length, Near: crook, Far: 300*mm - taper}}
	p.Saw = saw.Saw{Kerf: 4 * mm, Step: 2 * mm, Gap: 20 * mm, LeastStrip: 20 * mm, Trim: 4 * mm}
	fence := even(110, 190) // the fixed blades stand well inside the wood
	p.Saw.Fence = saw.Travel{Min: fence, Max: fence, Current: fence}
	moving := saw.Blade{Moving: true, Travel: saw.Travel{Max: 900 * mm}}
	p.Saw.Blades = []saw.Blade{moving, {At: 250 * mm}, {At: 250*mm + even(50, 80)}, moving}
	for i := range 10 {
		w := even(28, 98)
		it := order.Item{ID: fmt.Sprint(i), Min: w, Max: w, Value: int64(800+r.IntN(600)) * 10_000, LeastLength: unit.Length(300+r.IntN(900)) * mm}
		if i < 2 {
			it.Measure, it.Required = order.ByPieces, 1
		}
		p.Items = append(p.Items, it)
	}
	return p
}
