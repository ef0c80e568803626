package wood_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// A band of a board has the runs that the same band has when the board is turned
// about, defects taken out.
func TestTurned(t *testing.T) {
	const mm = unit.Millimetre
	r := rand.New(rand.NewPCG(1, 2))
	some := 0
	for range 400 {
		b := wood.Board{Length: 900 * mm}
		for x := range 4 {
			b.Stations = append(b.Stations, wood.Station{X: unit.Length(x) * 300 * mm,
				Near: unit.Length(r.Int64N(20_000)) * unit.Micrometre, Far: 100*mm + unit.Length(r.Int64N(20_000))*unit.Micrometre})
		}
		x, y := unit.Length(r.Int64N(800))*mm, unit.Length(r.Int64N(100))*mm
		b.Defects = []wood.Defect{{FromX: x, ToX: x + 40*mm, FromY: y, ToY: y + 15*mm, Kind: "knot"}}
		const sum = 123_456_789
		turned := b.Turned(sum)
		own, about := wood.NewClear(&b, 2*mm), wood.NewClear(&turned, 2*mm)
		for range 10 {
			lo := unit.Length(r.Int64N(100_000)) * unit.Micrometre
			hi := lo + unit.Length(5_000+r.Int64N(30_000))*unit.Micrometre
			want := wood.Without(nil, own.Runs(nil, lo, hi), wood.Gaps(b.Defects), lo, hi)
			got := wood.Without(nil, about.Runs(nil, sum-hi, sum-lo), wood.Gaps(turned.Defects), sum-hi, sum-lo)
			if !slices.Equal(got, want) {
				t.Fatalf("%v to %v: %v, turned %v\n%+v", lo, hi, want, got, b)
			}
			if len(want) > 1 {
				some++
			}
		}
	}
	if some < 100 {
		t.Errorf("only %d bands in parts", some)
	}
}
