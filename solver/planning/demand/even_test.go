package demand

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
	"github.com/ripwright/ripwright/testdata/brief"
)

const millimetre = unit.Millimetre

// A board of even wood is worth as much as the general search finds, and the plan follows
// the saw's rules.
func TestEven(t *testing.T) {
	served, counted, capped := 0, 0, 0
	for seed := range uint64(brief.Fewer(600)) {
		p := evenProblem(rand.New(rand.NewPCG(seed, 5)))
		if len(p.Faults()) > 0 {
			continue
		}
		got, ok := even(p, rip.Options{})
		if !ok {
			continue
		}
		served++
		want, err := rip.Solve(p, rip.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if got.Best.Worth != want.Best.Worth || got.Bound != want.Best.Worth || !got.Proven {
			t.Fatalf("seed %d: worth %v, bound %v; the search has %v\n%+v", seed, got.Best.Worth.Money(), got.Bound.Money(), want.Best.Worth.Money(), p)
		}
		c, err := rip.Check(p, 0, got.Best.Fence, got.Best.Blades, rip.Options{})
		if err != nil || len(c.Broken) > 0 {
			t.Fatalf("seed %d: %v, %v", seed, err, c.Broken)
		}
		free := *p
		free.Items = nil
		for _, it := range p.Items {
			it.Measure, it.Required = order.Unlimited, 0
			free.Items = append(free.Items, it)
		}
		if r, err := rip.Solve(&free, rip.Options{}); err == nil && r.Best.Worth != want.Best.Worth {
			capped++
		}
		more := *p
		last := more.Saw.Blades[len(more.Saw.Blades)-1]
		last.Travel.Max += 400 * millimetre
		more.Saw.Blades = append(more.Saw.Blades[:len(more.Saw.Blades):len(more.Saw.Blades)], last)
		if r, err := rip.Solve(&more, rip.Options{}); err == nil && r.Best.Worth != want.Best.Worth {
			counted++
		}
	}
	if served < brief.Fewer(120) || capped < brief.Fewer(20) || counted < brief.Fewer(12) {
		t.Errorf("%d boards served; caps bound on %d, the number of blades on %d", served, capped, counted)
	}
}

// evenProblem is a small problem, mostly of that kind.
func evenProblem(r *rand.Rand) *rip.Problem {
	mm := func(lo, hi int) unit.Length { return unit.Length(lo+r.IntN(hi-lo+1)) * millimetre }
	near := unit.Length(0)
	s := saw.Saw{Kerf: unit.Length(r.IntN(4)) * millimetre, Step: mm(1, 3), LeastStrip: mm(3, 8), Trim: unit.Length(r.IntN(3)) * millimetre}
	s.Gap = s.LeastStrip
	if r.IntN(3) == 0 {
		s.Kerf += unit.Length(r.IntN(1000)) * unit.Micrometre
	}
	s.Fence = saw.Travel{Max: mm(0, 20)}
	for i := range 2 + r.IntN(5) {
		s.Blades = append(s.Blades, saw.Blade{Moving: true, Travel: saw.Travel{Min: unit.Length(i) * mm(0, 12), Max: mm(120, 300), Current: mm(20, 120)}})
	}
	width := mm(40, 160)
	b := wood.Board{Length: mm(300, 900), StraightNear: r.IntN(3) == 0}
	if !b.StraightNear && r.IntN(4) == 0 {
		near = mm(0, 5)
	}
	for i := range 1 + r.IntN(2) {
		b.Stations = append(b.Stations, wood.Station{X: unit.Length(i) * 200 * millimetre, Near: near, Far: width})
	}
	p := &rip.Problem{Board: b, Saw: s}
	for i := range 1 + r.IntN(4) {
		it := order.Item{ID: fmt.Sprint("i", i), Min: mm(8, 50), Value: int64(1+r.IntN(40)) * 100_000, Basis: order.Basis(r.IntN(3))}
		it.Max = it.Min
		if r.IntN(4) == 0 {
			it.Tolerance = unit.Length(r.IntN(3)) * millimetre
		}
		switch r.IntN(3) {
		case 0:
			it.Measure, it.Required = order.ByPieces, int64(1+r.IntN(3))
		case 1:
			it.Measure, it.Required = order.ByLength, int64(1+r.IntN(2_000_000))
		}
		p.Items = append(p.Items, it)
	}
	return p
}
