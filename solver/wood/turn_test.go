package wood_test

import (
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// A band of a board has the runs of the corresponding band of the board turned about,
// after defects.
func TestAbout(t *testing.T) {
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
		turned := b.About(sum)
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

// Turning twice the same way restores a board, and two turns make the third. A board
// without symmetry lies as its turn says, worked out by hand.
func TestTurned(t *testing.T) {
	const mm = unit.Millimetre
	b := wood.Board{Length: 1000 * mm, Stations: []wood.Station{{X: 100 * mm, Near: 2 * mm, Far: 90 * mm}, {X: 900 * mm, Near: 5 * mm, Far: 100 * mm}},
		Defects: []wood.Defect{{FromX: 200 * mm, ToX: 250 * mm, FromY: 10 * mm, ToY: 30 * mm, Kind: "knot"}}}
	over := wood.Board{Length: 1000 * mm, Stations: []wood.Station{{X: 100 * mm, Near: 12 * mm, Far: 100 * mm}, {X: 900 * mm, Near: 2 * mm, Far: 97 * mm}},
		Defects: []wood.Defect{{FromX: 200 * mm, ToX: 250 * mm, FromY: 72 * mm, ToY: 92 * mm, Kind: "knot"}}}
	ends := wood.Board{Length: 1000 * mm, Stations: []wood.Station{{X: 100 * mm, Near: 5 * mm, Far: 100 * mm}, {X: 900 * mm, Near: 2 * mm, Far: 90 * mm}},
		Defects: []wood.Defect{{FromX: 750 * mm, ToX: 800 * mm, FromY: 10 * mm, ToY: 30 * mm, Kind: "knot"}}}
	for turn, want := range map[wood.Turn]wood.Board{wood.AsScanned: b, wood.EdgeOverEdge: over, wood.EndOverEnd: ends, wood.EndForEnd: over.Turned(wood.EndOverEnd)} {
		got := b.Turned(turn)
		if !reflect.DeepEqual(got, want) {
			t.Errorf("%s: %+v, want %+v", turn, got, want)
		}
		if back := got.Turned(turn); !reflect.DeepEqual(back, b) {
			t.Errorf("%s twice: %+v", turn, back)
		}
	}
	b.StraightNear = true
	if over, ends := b.Turned(wood.EdgeOverEdge), b.Turned(wood.EndOverEnd); over.StraightNear || !ends.StraightNear {
		t.Errorf("straight edge over edge %v, end over end %v", over.StraightNear, ends.StraightNear)
	}
	// A defect is cut off where no board can lie.
	b.Defects = []wood.Defect{{ToX: mm, FromY: -wood.MaxAcross, ToY: 20 * mm, Kind: "wane"}, {ToX: mm, FromY: -wood.MaxAcross, ToY: 110*mm - wood.MaxAcross, Kind: "wane"}}
	b.StraightNear = false
	if over := b.Turned(wood.EdgeOverEdge); len(over.Faults()) > 0 || len(over.Defects) != 2 || over.Defects[0].FromY != 82*mm || over.Defects[0].ToY != wood.MaxAcross {
		t.Errorf("%v %+v", over.Faults(), over.Defects)
	}
	b.Defects[1].ToY = 50*mm - wood.MaxAcross
	if over := b.Turned(wood.EdgeOverEdge); len(over.Faults()) > 0 || len(over.Defects) != 1 {
		t.Errorf("%v %+v", over.Faults(), over.Defects)
	}
}
