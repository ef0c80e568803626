// Package cases has the boards, saws and orders on which the search is measured. All are
// invented, and each depends on its seed alone. The package uses only what the solver
// exports, so that it can be built with an older solver and measure that: see
// .ci/compare.
package cases

import (
	"fmt"
	"math/rand/v2"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// Shape of a case.
type Shape struct {
	Name     string
	Blades   string  // F fixed, M moving, along the arbor
	Width    float64 // mm
	Stations int
	Items    int     // fixed widths; a random range is added
	Caps     int     // that many of the first fixed widths have a cap that binds
	Step     float64 // mm
	Defects  int     // with six crosscut lengths on half the items
	Scan     bool    // edges as a scanner sees them, see scan
}

// Line is the case that the service is built for, without a saw.
var Line = Shape{Width: 300, Stations: 16, Items: 10, Caps: 2, Step: 0.1}

// With gives the case on another saw, under a name.
func (c Shape) With(name, blades string) Shape {
	c.Name, c.Blades = name, blades
	return c
}

// Targets are the cases with targets of time; the last ones have none.
func Targets() []Shape {
	knotty := Line.With("line case, 20 defects, 6 lengths", "MFFM")
	knotty.Defects = 20
	scan, noisy := Line.With("line case, scanned edges", "MFFM"), Line.With("seven moving, scanned edges", "MMMMMMM")
	scan.Scan, scan.Stations = true, 160
	noisy.Scan, noisy.Stations = true, 160
	capped := Line.With("line case, every width capped", "MFFM")
	capped.Caps = capped.Items
	apart, loose, tail := capped.With("seven moving, every width capped", "MMMMMMM"), capped.With("one fixed, every width capped (F M M M M)", "FMMMM"),
		capped.With("both moving beyond, every width capped", "FFMM")
	return []Shape{
		Line.With("line case, outer blades move (M F F M)", "MFFM"),
		Line.With("line case, alternating (F M F M)", "FMFM"),
		Line.With("seven moving blades", "MMMMMMM"),
		Line.With("six fixed blades", "FFFFFF"),
		{Name: "600 mm board, M M F F M M", Blades: "MMFFMM", Width: 600, Stations: 200, Items: 24, Caps: 2, Step: 0.05},
		knotty, scan, noisy, capped,
		Line.With("line case, both moving beyond (F F M M)", "FFMM"),
		apart, loose, tail,
	}
}

const mm = unit.Millimetre

func length(v float64) unit.Length {
	l, _ := unit.FromMM(v)
	return l
}

// Problem gives one board of the case with its saw and order.
func (c Shape) Problem(seed uint64) *rip.Problem {
	r := rand.New(rand.NewPCG(seed, 7))
	p := &rip.Problem{Board: c.board(r), Saw: c.saw(r)}
	for i := range c.Items {
		w := length(float64(280+r.IntN(700)) / 10)
		it := order.Item{ID: fmt.Sprint("w", i), Min: w, Max: w, Value: int64(800+r.IntN(600)) * 10_000,
			LeastLength: length(float64(300 + r.IntN(900)))}
		if i < c.Caps { // less than one strip is open: the cap binds
			it.Measure, it.Required = order.ByLength, int64(p.Board.Length)/1000*6/10
		}
		p.Items = append(p.Items, it)
	}
	c.spoil(r, p)
	p.Items = append(p.Items, order.Item{ID: "panel", Min: 40 * mm, Max: 90 * mm, Random: true, Value: 7_000_000, LeastLength: 600 * mm})
	return p
}

// spoil scatters knots of a few centimetres and makes every other item crosscut.
func (c Shape) spoil(r *rand.Rand, p *rip.Problem) {
	for range c.Defects {
		x, y := length(r.Float64()*(p.Board.Length.MM()-60)), length(r.Float64()*c.Width)
		p.Board.Defects = append(p.Board.Defects, wood.Defect{FromX: x, ToX: x + length(15+r.Float64()*40),
			FromY: y, ToY: y + length(10+r.Float64()*25), Kind: "knot"})
	}
	for i := range p.Items {
		if c.Defects == 0 || i%2 == 0 {
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
func (c Shape) board(r *rand.Rand) wood.Board {
	long := float64(2400 + r.IntN(1800))
	if c.Scan {
		return c.scan(r, long)
	}
	crook, taper := r.Float64()*12, r.Float64()*14
	b := wood.Board{Length: length(long)}
	least := unit.Length(1 << 40)
	for i := range c.Stations {
		t := float64(i) / float64(c.Stations-1)
		bow := crook * 4 * t * (1 - t)
		s := wood.Station{X: length(t * long), Near: length(bow + r.Float64()*1.5), Far: length(bow + c.Width - taper*t - r.Float64()*1.5)}
		least = min(least, s.Near)
		b.Stations = append(b.Stations, s)
	}
	return pushed(b, least)
}

// pushed moves a board so that its least near edge lies at the fence.
func pushed(b wood.Board, least unit.Length) wood.Board {
	for i := range b.Stations {
		b.Stations[i].Near -= least
		b.Stations[i].Far -= least
	}
	return b
}

// saw with 250 mm of fence travel, where some board left it.
func (c Shape) saw(r *rand.Rand) saw.Saw {
	s := saw.Saw{Kerf: length(3.2), Step: length(c.Step), Gap: 20 * mm, LeastStrip: 20 * mm, Trim: length(3.2)}
	s.Fence = saw.Travel{Max: 250 * mm, Current: length(float64(r.IntN(250)))}
	fixed := 0
	for i, kind := range c.Blades {
		if kind == 'F' {
			s.Blades = append(s.Blades, saw.Blade{At: 250*mm + unit.Length(fixed)*61*mm})
			fixed++
			continue
		}
		s.Blades = append(s.Blades, saw.Blade{Moving: true, Travel: saw.Travel{Max: 900 * mm, Current: unit.Length(100+i*70) * mm}})
	}
	return s
}
