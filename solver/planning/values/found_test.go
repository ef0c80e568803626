package values_test

import (
	"math"
	"testing"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/planning/values"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
	"github.com/ripwright/ripwright/testdata/brief"
)

// slow is an order of lengths and a width range under three free blades, from boards with
// knots that may be skewed: plans take long to prove.
func slow(seed uint64) *values.Problem {
	r := lumber.Random(seed, 0)
	p := &values.Problem{Objective: values.Face, Lost: values.Everything, Saw: saw.Saw{Kerf: 3200 * unit.Micrometre, Step: mm / 10, Gap: 20 * mm, LeastStrip: 20 * mm, Trim: 3200 * unit.Micrometre,
		Skew: mm / 5, Fence: saw.Travel{Max: 350 * mm}}}
	for _, most := range []unit.Length{700, 800, 900} {
		p.Saw.Blades = append(p.Saw.Blades, saw.Blade{Moving: true, Travel: saw.Travel{Max: most * mm}})
	}
	for i := range 3 {
		w := unit.Length(300+r.IntN(600)) * mm / 10
		p.Items = append(p.Items, order.Item{ID: string(rune('a' + i)), Min: w, Max: w, Measure: order.ByPieces,
			PieceLength: unit.Length(40+r.IntN(80)) * 10 * mm, Required: int64(20 + r.IntN(30))})
	}
	w := unit.Length(300+r.IntN(400)) * mm / 10
	p.Items = append(p.Items, order.Item{ID: "range", Min: w, Max: w + 30*mm, Random: true, LeastLength: 600 * mm, Measure: order.ByArea, Required: 3_000_000_000_000})
	from := lumber.Spread{Mean: 190 * mm, Deviation: 35 * mm, Least: 100 * mm, Greatest: 320 * mm, Crook: 4 * mm, Taper: 8 * mm,
		Lengths: []lumber.LengthShare{{Length: 2440 * mm, Share: 1}, {Length: 3660 * mm, Share: 1}}}
	lot := values.Lot{ID: "listed"}
	for range 8 {
		b := from.Draw(r)
		for range r.IntN(4) {
			x, y := unit.Length(r.IntN(2200))*mm, unit.Length(10+r.IntN(80))*mm
			b.Defects = append(b.Defects, wood.Defect{FromX: x, ToX: x + 40*mm, FromY: y, ToY: y + 25*mm, Kind: "knot"})
		}
		lot.Kinds = append(lot.Kinds, lumber.Kind{Board: b, Count: 1})
	}
	p.Lots = []values.Lot{lot}
	return p
}

// Plans found soon are about as good as proven ones, for a fraction of the work, and the
// statements about them are true.
func TestFoundSoon(t *testing.T) {
	brief.Skip(t)
	worked, proved := int64(0), int64(0)
	for seed := range uint64(3) {
		o := values.Options{Gap: 2e-3, Work: 300_000, Found: true}
		soon, err := values.New(slow(seed))
		if err != nil {
			t.Fatal(err)
		}
		a, err := soon.Plan(soon.Demand.Open(), o)
		if err != nil {
			t.Fatal(err)
		}
		whole, err := values.New(slow(seed))
		if err != nil {
			t.Fatal(err)
		}
		o.Found, o.Work = false, 0
		b, err := whole.Plan(whole.Demand.Open(), o)
		if err != nil {
			t.Fatal(err)
		}
		if !b.Proven || b.Cost-b.Bound > 2e-3*b.Cost {
			t.Errorf("seed %d: cost %v, bound %v", seed, b.Cost, b.Bound)
		}
		if a.Bound > b.Cost || a.Cost < b.Bound || math.Abs(a.Cost/b.Cost-1) > 0.005 || a.Stopped {
			t.Errorf("seed %d: soon %v, bound %v; proven %v, bound %v", seed, a.Cost, a.Bound, b.Cost, b.Bound)
		}
		if a.Proven && a.Cost-a.Bound > 2e-3*a.Cost {
			t.Errorf("seed %d: reported as proven with cost %v and bound %v", seed, a.Cost, a.Bound)
		}
		worked, proved = worked+values.Worked(soon), proved+values.Worked(whole)
	}
	t.Logf("%d steps in place of %d", worked, proved)
	if worked*3 > proved*2 {
		t.Errorf("%d steps, %d to prove it", worked, proved)
	}
}
