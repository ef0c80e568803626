package requests

import (
	"fmt"
	"math/rand/v2"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// The limits published in the schema, up to which requests are drawn.
const (
	mostStations = 2000
	mostDefects  = 1000
	mostItems    = 500
	mostBlades   = 32
	mostCuts     = 32
	mostStops    = 1_000_000 // of all moving blades within the wood
	mostRunners  = 20
)

// board draws a board up to a width.
func (g *Genes) board(widest float64, stations, defects int) *ripwrightv1.Board {
	b := &ripwrightv1.Board{BoardId: "w", LengthMm: grid(g.between(1000, 20_000), 1), ThicknessMm: proto.Float64(25.4)}
	width, rough := g.between(100, widest), g.one(0, 0, 2, 30)
	width = max(width-2*rough, 50)
	n := g.Count(1, stations)
	r := g.Stream()
	for i := range n {
		s := &ripwrightv1.Station{NearMm: grid(rough*r.Float64(), 0.01), FarMm: grid(width+rough*(1+r.Float64()), 0.01)}
		if n > 1 {
			s.XMm = b.GetLengthMm() * float64(i) / float64(n-1)
		}
		b.Stations = append(b.Stations, s)
	}
	for range g.Count(0, defects) {
		x, y := r.Float64()*(b.GetLengthMm()-60), r.Float64()*(width-30)
		b.Defects = append(b.Defects, &ripwrightv1.Defect{Kind: fmt.Sprintf("k%d", r.IntN(8)),
			FromXMm: grid(x, 0.01), ToXMm: grid(x+10+40*r.Float64(), 0.01), FromYMm: grid(y, 0.01), ToYMm: grid(y+5+20*r.Float64(), 0.01)})
	}
	return b
}

// saw draws a saw, with a step that is valid for boards of that width. fixed: with at
// least one fixed blade.
func (g *Genes) saw(widest float64, fixed bool) *ripwrightv1.Saw {
	n := g.Count(2, 8)
	if g.Chance(0.2) {
		n = g.Count(2, mostBlades)
	}
	step := g.one(0.01, 0.02, 0.05, 0.1, 0.5)
	for float64(n)*(widest+60)/step > mostStops {
		step *= 2
	}
	s := &ripwrightv1.Saw{KerfMm: proto.Float64(3.2), StepMm: step, MinGapMm: g.one(10, 30, 50), MinStripWidthMm: 10,
		FeedMPerMin: proto.Float64(30), PositioningMmPerS: proto.Float64(200), HandlingS: 3,
		Fence: &ripwrightv1.Travel{MinMm: 0, MaxMm: grid(g.one(0, 10, 200, 2000), step)}}
	if g.Chance(0.2) {
		s.MaxSkewMmPerM = min(g.one(1, 5, 50), 400*step)
	}
	if g.Chance(0.2) {
		s.Rerip = &ripwrightv1.Rerip{MinWidthMm: 40, ValuePerM2: 3}
	}
	still := g.between(0, 1)
	for i := range n {
		if g.next() < still || fixed && i == 0 {
			s.Blades = append(s.Blades, &ripwrightv1.Blade{Mount: &ripwrightv1.Blade_FixedMm{FixedMm: float64(i) * 70}})
			continue
		}
		s.Blades = append(s.Blades, &ripwrightv1.Blade{Mount: &ripwrightv1.Blade_Moving{Moving: &ripwrightv1.Travel{MinMm: -5000, MaxMm: 5000}}})
	}
	return s
}

// Order draws an order of at most that many items. planned: one that whole orders' plans
// accept.
func (g *Genes) Order(most int, planned bool) *ripwrightv1.CutOrder {
	o := &ripwrightv1.CutOrder{OrderId: "o"}
	ranges, capped, crosscut, near := g.next(), g.next(), g.next()*g.next(), g.Chance(0.3)
	cuts := g.Count(1, mostCuts)
	if planned {
		most /= cuts // the limit of amounts planned together
	}
	r := g.Stream()
	for i := range g.Count(1, max(most, 1)) {
		it := &ripwrightv1.Item{ItemId: fmt.Sprint("i", i), Value: 1 + 9*r.Float64()}
		if near {
			it.Value = 5 + 0.01*r.Float64()
		}
		lo := grid(30+250*r.Float64(), 0.1)
		needs := planned || r.Float64() < capped
		switch {
		case r.Float64() < ranges*0.3:
			it.Width = &ripwrightv1.Item_Range{Range: &ripwrightv1.WidthRange{MinMm: lo, MaxMm: grid(lo+800*r.Float64(), 0.1)}}
			if needs {
				it.Required = &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_AreaM2{AreaM2: 0.5 + 50*r.Float64()}}
			}
		case r.Float64() < crosscut:
			it.Width = &ripwrightv1.Item_WidthMm{WidthMm: lo}
			it.Crosscut, it.Value = lengths(r, cuts, needs), 0
		default:
			it.Width = &ripwrightv1.Item_WidthMm{WidthMm: lo}
			if needs {
				it.Required = &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_LengthM{LengthM: 3 + 300*r.Float64()}}
			}
		}
		if r.Float64() < 0.3 {
			it.MinLengthMm = grid(2000*r.Float64(), 1)
		}
		if r.Float64() < 0.3 {
			it.Accepts = []string{"k0", "k1"}
		}
		o.Items = append(o.Items, it)
	}
	return o
}

func lengths(r *rand.Rand, n int, needed bool) *ripwrightv1.Crosscut {
	c := &ripwrightv1.Crosscut{KerfMm: 3, EndTrimMm: 10}
	for k := range n {
		l := &ripwrightv1.CutLength{LengthMm: float64(300 + 50*k), Value: 1 + 9*r.Float64()}
		if needed {
			need := int32(1 + r.IntN(300))
			l.Required = &need
		}
		c.Lengths = append(c.Lengths, l)
	}
	return c
}
