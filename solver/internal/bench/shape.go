package main

import (
	"fmt"
	"math/rand/v2"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// shape of a case. The boards and orders are invented.
type shape struct {
	blades   string  // F fixed, M moving, along the arbor
	width    float64 // mm
	stations int
	items    int     // fixed widths; a random range comes on top
	step     float64 // mm
	defects  int     // with six crosscut lengths on half the items
}

const mm = unit.Millimetre

func length(v float64) unit.Length {
	l, _ := unit.FromMM(v)
	return l
}

func (c shape) problem(seed uint64) *rip.Problem {
	r := rand.New(rand.NewPCG(seed, 7))
	p := &rip.Problem{Board: c.board(r), Saw: c.saw(r)}
	for i := range c.items {
		w := length(float64(280+r.IntN(700)) / 10)
		it := order.Item{ID: fmt.Sprint("w", i), Min: w, Max: w, Value: int64(800+r.IntN(600)) * 10_000,
			LeastLength: length(float64(300 + r.IntN(900)))}
		if i < 2 { // what is open is less than one strip: the cap binds
			it.Measure, it.Required = order.ByLength, int64(p.Board.Length)/1000*6/10
		}
		p.Items = append(p.Items, it)
	}
	c.spoil(r, p)
	p.Items = append(p.Items, order.Item{ID: "panel", Min: 40 * mm, Max: 90 * mm, Random: true, Value: 7_000_000, LeastLength: 600 * mm})
	return p
}

// spoil scatters knots of a few centimetres and has every other item crosscut.
func (c shape) spoil(r *rand.Rand, p *rip.Problem) {
	for range c.defects {
		x, y := length(r.Float64()*(p.Board.Length.MM()-60)), length(r.Float64()*c.width)
		p.Board.Defects = append(p.Board.Defects, wood.Defect{FromX: x, ToX: x + length(15+r.Float64()*40),
			FromY: y, ToY: y + length(10+r.Float64()*25), Kind: "knot"})
	}
	for i := range p.Items {
		if c.defects == 0 || i%2 == 0 {
			continue
		}
		it := &p.Items[i]
		perMetre := it.Value / 1000 * int64(it.Min/mm) // of this width, in millionths
		it.Value, it.LeastLength = 0, 0
		it.CutKerf, it.EndTrim = 4*mm, 12*mm
		for k := range 6 {
			l := unit.Length(320+k*210+r.IntN(120)) * mm
			it.Cuts = append(it.Cuts, order.Cut{Length: l, Value: perMetre * int64(l/mm) / 1000 * int64(90+r.IntN(20)) / 100,
				Limited: k%2 == 0, Required: int64(1 + r.IntN(6))})
		}
	}
}

// board with crook, taper and rough edges, pushed against the fence.
func (c shape) board(r *rand.Rand) wood.Board {
	long := float64(2400 + r.IntN(1800))
	crook, taper := r.Float64()*12, r.Float64()*14
	b := wood.Board{Length: length(long)}
	least := unit.Length(1 << 40)
	for i := range c.stations {
		t := float64(i) / float64(c.stations-1)
		bow := crook * 4 * t * (1 - t)
		s := wood.Station{X: length(t * long), Near: length(bow + r.Float64()*1.5), Far: length(bow + c.width - taper*t - r.Float64()*1.5)}
		least = min(least, s.Near)
		b.Stations = append(b.Stations, s)
	}
	for i := range b.Stations {
		b.Stations[i].Near -= least
		b.Stations[i].Far -= least
	}
	return b
}

// saw with 250 mm of fence travel, standing where some board left it.
func (c shape) saw(r *rand.Rand) saw.Saw {
	s := saw.Saw{Kerf: length(3.2), Step: length(c.step), Gap: 20 * mm, LeastStrip: 20 * mm, Trim: length(3.2)}
	s.Fence = saw.Travel{Max: 250 * mm, Current: length(float64(r.IntN(250)))}
	fixed := 0
	for i, kind := range c.blades {
		if kind == 'F' {
			s.Blades = append(s.Blades, saw.Blade{At: 250*mm + unit.Length(fixed)*61*mm})
			fixed++
			continue
		}
		s.Blades = append(s.Blades, saw.Blade{Moving: true, Travel: saw.Travel{Max: 900 * mm, Current: unit.Length(100+i*70) * mm}})
	}
	return s
}
