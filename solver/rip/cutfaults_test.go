package rip_test

import (
	"errors"
	"math/rand/v2"
	"testing"

	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
	"github.com/ripwright/ripwright/testdata/brief"
)

// Lengths that combine in too many ways are found as Solve finds them, and nothing else
// is.
func TestCutFaults(t *testing.T) {
	wrong, right := 0, 0
	for seed := range uint64(brief.Fewer(60)) {
		r := rand.New(rand.NewPCG(seed, 1))
		p := &rip.Problem{
			Board: wood.Board{Length: unit.Length(2+r.IntN(18)) * 1000 * unit.Millimetre, Stations: []wood.Station{{Far: 200 * unit.Millimetre}}},
			Saw: saw.Saw{Kerf: 3 * unit.Millimetre, Step: unit.Millimetre, Gap: 20 * unit.Millimetre, LeastStrip: 20 * unit.Millimetre,
				Fence: saw.Travel{Max: 100 * unit.Millimetre}, Blades: []saw.Blade{{At: 100 * unit.Millimetre}, {At: 163 * unit.Millimetre}}},
		}
		step := unit.Length(1 + r.Int64N(2)*int64(unit.Millimetre)) // fine ones combine in many ways
		for i := range 2 {
			it := order.Item{ID: string(rune('a' + i)), Min: 60 * unit.Millimetre, Max: 60 * unit.Millimetre, CutKerf: 3 * unit.Millimetre}
			for k := range 2 + r.IntN(14) {
				l := (200*unit.Millimetre + unit.Length(k)*37*unit.Millimetre + unit.Length(r.Int64N(int64(9*unit.Millimetre)))) / step * step
				it.Cuts = append(it.Cuts, order.Cut{Length: l, Value: int64(l) + 3_000_000}) // every sum of lengths is worth more than those below
			}
			p.Items = append(p.Items, it)
		}
		if l := p.Faults(); len(l) > 0 {
			t.Fatal(l)
		}
		var want fault.List
		_, err := rip.Solve(p, rip.Options{})
		if err != nil && !errors.As(err, &want) {
			t.Fatal(err)
		}
		got := p.CutFaults()
		if got.Err() == nil != (want.Err() == nil) || len(got) != len(want) || len(got) > 0 && got.Error() != want.Error() {
			t.Errorf("seed %d: %v, Solve says %v", seed, got, want)
		}
		if len(got) > 0 {
			wrong++
		} else {
			right++
		}
	}
	if wrong < brief.Fewer(5) || right < brief.Fewer(5) {
		t.Errorf("%d wrong, %d right", wrong, right)
	}
}
