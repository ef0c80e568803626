package audit_test

import (
	"slices"
	"testing"

	"github.com/ripwright/ripwright/solver/audit"
	"github.com/ripwright/ripwright/solver/internal/agree"
	"github.com/ripwright/ripwright/solver/internal/oracle"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/paced"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/run"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// Rules that nobody could guess, each tested by a problem that another rule would answer
// otherwise. Search, oracle and audit must agree on it.

const millimetre = unit.Millimetre

// agreed solves a problem in all three ways.
func agreed(t *testing.T, p *rip.Problem, terms audit.Terms) *rip.Plan {
	t.Helper()
	if l := p.Faults(); len(l) > 0 {
		t.Fatal(l)
	}
	r, err := paced.Solve(p, paced.Terms{Pace: terms.Pace, Price: terms.Price}, rip.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if found := audit.Result(p, terms, r); len(found) > 0 || !r.Proven {
		t.Errorf("audit: %v; proven %v", found, r.Proven)
	}
	tried, _ := oracle.Solve(&oracle.Problem{Board: p.Board, Saw: p.Saw, Items: p.Items, Price: terms.Price, Pace: terms.Pace}, 0)
	if best := tried.Kinds[0].String(); best != agree.Written(r.Best) {
		t.Errorf("oracle: %v, search: %v", best, agree.Written(r.Best))
	}
	return r.Best
}

// bench is a saw with one moving blade and a fence that stays.
func bench() saw.Saw {
	return saw.Saw{Kerf: 4 * millimetre, Step: 5 * millimetre, Gap: 10 * millimetre, LeastStrip: 10 * millimetre,
		Blades: []saw.Blade{{Moving: true, Travel: saw.Travel{Min: 50 * millimetre, Max: 200 * millimetre, Current: 100 * millimetre}}}}
}

// Of two plans with equal net worth, the one that is worth more before the price comes
// first, though it deviates and moves: 1.50 less 0.50 for one second against 1.00.
func TestGrossWorthBreaksTiesOfNetWorth(t *testing.T) {
	p := &rip.Problem{Saw: bench(), Board: wood.Board{Length: 1000 * millimetre, StraightNear: true, Stations: []wood.Station{{Far: 180 * millimetre}}},
		Items: []order.Item{
			{ID: "near", Min: 100 * millimetre, Max: 100 * millimetre, Basis: order.PerPiece, Value: 1_000_000},
			{ID: "far", Min: 149 * millimetre, Max: 149 * millimetre, Tolerance: millimetre, Basis: order.PerPiece, Value: 1_500_000},
		}}
	terms := audit.Terms{Pace: run.Pace{Feed: 30e9, Positioning: int64(50 * millimetre)}, Price: 500_000_000}
	if best := agreed(t, p, terms); best.Pockets[0].Item != 1 || best.Deviation != millimetre || best.Travel != 50*millimetre {
		t.Errorf("%+v", best)
	}
	terms.Price++
	if best := agreed(t, p, terms); best.Pockets[0].Item != 0 {
		t.Errorf("a billionth dearer: %+v", best)
	}
}

// What is fed again is as wide as the wood that is clear between the trimmed edges from
// end to end, whatever defects lie in it, and as long as the board in whole micrometres.
func TestFedAgain(t *testing.T) {
	p := &rip.Problem{Saw: bench(), Board: wood.Board{Length: 1000*millimetre + 900, Stations: []wood.Station{{Far: 40 * millimetre}, {X: 500 * millimetre, Near: millimetre, Far: 40 * millimetre}},
		Defects: []wood.Defect{{FromX: 0, ToX: 1000 * millimetre, FromY: 10 * millimetre, ToY: 20 * millimetre, Kind: "split"}}}}
	p.Saw.Trim = 3 * millimetre
	const width = (40 - 1 - 2*3) * millimetre
	p.Saw.Rerip = saw.Rerip{Width: width, Value: 2_000_000}
	best := agreed(t, p, audit.Terms{})
	if want := unit.Area(width) * 1_000_000; best.Account.Rerip != want || best.Worth != unit.WorthOf(2_000_000, int64(want), 1) {
		t.Errorf("%+v", best)
	}
	p.Saw.Rerip.Width++
	if best := agreed(t, p, audit.Terms{}); best.Account.Rerip != 0 || best.Worth != (unit.Worth{}) {
		t.Errorf("too narrow by a nanometre: %+v", best)
	}
}

// A run counts for an item with crosscut lengths only if an open one fits between its end
// trims; lengths that are filled or have no value do not matter.
func TestRunWithoutAPiece(t *testing.T) {
	const knot = 300
	p := &rip.Problem{Saw: bench(), Board: wood.Board{Length: 560*millimetre - 1000, StraightNear: true, Stations: []wood.Station{{Far: 100 * millimetre}},
		Defects: []wood.Defect{{FromX: knot * millimetre, ToX: knot*millimetre + 1, FromY: 0, ToY: 100 * millimetre, Kind: "knot"}}},
		Items: []order.Item{{ID: "leg", Min: 100 * millimetre, Max: 100 * millimetre, EndTrim: 5 * millimetre, Cuts: []order.Cut{
			{Length: 250 * millimetre, Value: 1_000_000}, {Length: 100 * millimetre, Value: 1_000_000, Limited: true, Required: 3, Made: 3}}}}}
	strip := func() *rip.Pocket { return &agreed(t, p, audit.Terms{}).Pockets[0] }
	// The knot takes a micrometre; what lies beyond is 259.998 mm, 2 um too short.
	if k := strip(); len(k.Runs) != 1 || k.Counted != knot*1000 || len(k.Pieces) != 1 {
		t.Errorf("%+v", k)
	}
	p.Board.Length += 2000 // now 260 mm: a piece between two trims
	if k := strip(); len(k.Runs) != 2 || k.Counted != (knot+260)*1000 || len(k.Pieces) != 2 {
		t.Errorf("%+v", k)
	}
}

// A skew lifts points to whole nanometres, halves away from 0: 10 um per m over
// 0.15 mm are 1.5 nm.
func TestSkewedHalves(t *testing.T) {
	b := wood.Board{Length: 150_000, Stations: []wood.Station{{Far: 50 * millimetre}}}
	for _, c := range []struct{ skew, start, end unit.Length }{{10_000, 0, 2}, {-10_000, 2, 0}} {
		start, end := audit.Lift(&b, wood.AsScanned, c.skew)
		lies := b.Skewed(c.skew).Stations
		tried := oracle.Skewed(&b, int64(c.skew)).Stations
		if start != c.start || end != c.end || lies[0].Near != c.start || lies[1].Near != c.end || !slices.Equal(lies, tried) {
			t.Errorf("skew %d: %d and %d, the board %v, the oracle's %v", c.skew, start, end, lies, tried)
		}
	}
}

// Pieces cannot be required in addition to crosscut lengths, which count their own.
func TestPiecesBesideLengths(t *testing.T) {
	it := order.Item{ID: "leg", Min: 100 * millimetre, Max: 100 * millimetre, Cuts: []order.Cut{{Length: 250 * millimetre}}, Measure: order.ByPieces, Required: 4}
	if l := it.Faults(); len(l) != 1 || l[0].Path != "required" {
		t.Errorf("%v", l)
	}
	it.Measure = order.ByLength
	if l := it.Faults(); len(l) != 0 {
		t.Errorf("%v", l)
	}
}
