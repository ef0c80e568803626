package values_test

import (
	"math"
	"reflect"
	"testing"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/planning/values"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

const mm = unit.Millimetre

// knife is a saw of two free blades without kerf or trim.
func knife() saw.Saw {
	s := saw.Saw{Step: mm, Gap: mm, LeastStrip: mm}
	for range 2 {
		s.Blades = append(s.Blades, saw.Blade{Moving: true, Travel: saw.Travel{Max: 500 * mm}})
	}
	return s
}

func board(length, width unit.Length) wood.Board {
	return wood.Board{Length: length * mm, StraightNear: true, Stations: []wood.Station{{Far: width * mm}}}
}

func pieces(width unit.Length, n int64) order.Item {
	return order.Item{ID: "a", Min: width * mm, Max: width * mm, Measure: order.ByPieces, Required: n}
}

func plan(t *testing.T, p *values.Problem, o values.Options) *values.Plan {
	t.Helper()
	pl, err := values.New(p)
	if err != nil {
		t.Fatal(err)
	}
	if o.Gap == 0 {
		o.Gap = 1e-9
	}
	got, err := pl.Plan(pl.Demand.Open(), o)
	if err != nil {
		t.Fatal(err)
	}
	if got.Cost < got.Bound*(1-1e-9) || !got.Proven {
		t.Errorf("cost %v, bound %v, proven %v", got.Cost, got.Bound, got.Proven)
	}
	return got
}

// Boards of 100 give a strip of 60 and one of 40 each: ten of each take ten. If a lot's
// boards may give only one of the two, ten boards go for the first and five for the
// second, which are worth a board and half a board.
func TestOnly(t *testing.T) {
	p := &values.Problem{Saw: knife(), Items: []order.Item{pieces(60, 10), pieces(40, 10)}, Objective: values.Boards, Lost: values.Everything}
	p.Items[1].ID = "b"
	kinds := []lumber.Kind{{Board: board(1000, 100), Count: 1}}
	p.Lots = []values.Lot{{ID: "both", Kinds: kinds}}
	if got := plan(t, p, values.Options{}); math.Abs(got.Cost-10) > 1e-6 {
		t.Errorf("%g boards, want 10", got.Cost)
	}
	p.Lots = []values.Lot{{ID: "a", Kinds: kinds, Only: []bool{true, false}}, {ID: "b", Kinds: kinds, Only: []bool{false, true}}}
	got := plan(t, p, values.Options{})
	if math.Abs(got.Cost-15) > 1e-6 || math.Abs(got.Boards[0]-10) > 1e-6 || math.Abs(got.Values[0]-1) > 1e-6 || math.Abs(got.Values[1]-0.5) > 1e-6 {
		t.Errorf("%g boards, %v, at %v; want 10 and 5, at 1 and 0.5", got.Cost, got.Boards, got.Values)
	}
	p.Lots[1].Only = []bool{true, false}
	if got := plan(t, p, values.Options{}); len(got.Impossible) != 1 || got.Impossible[0] != 1 {
		t.Errorf("%v is impossible, want row 1", got.Impossible)
	}
}

// Strips of 40 from boards of 40, one each, or of 100, two each: by face the first cost
// 40 a strip against 50, by number the second half a board against one, and by money the
// dear ones lose.
func TestChoiceOfLots(t *testing.T) {
	for _, c := range []struct {
		objective values.Objective
		price     int64
		cost      float64
		narrow    float64
		wide      float64
	}{
		{values.Face, 1, 10 * 0.040 * 2, 10, 0},
		{values.Boards, 1, 5, 0, 5},
		// Boards without a thickness count as one inch thick: 1 m2 is 10.7639 board feet.
		{values.Cost, 2_000_000, 10 * 0.050 * 2 * 10.763910416709722, 0, 5},
	} {
		p := &values.Problem{Saw: knife(), Items: []order.Item{pieces(40, 10)}, Objective: c.objective, Lost: values.Everything,
			Lots: []values.Lot{
				{ID: "narrow", Price: c.price, Kinds: []lumber.Kind{{Board: board(2000, 40), Count: 1}}},
				{ID: "wide", Price: 1_000_000, Kinds: []lumber.Kind{{Board: board(2000, 100), Count: 1}}},
			}}
		got := plan(t, p, values.Options{})
		if math.Abs(got.Cost-c.cost) > 1e-6*c.cost || math.Abs(got.Boards[0]-c.narrow)+math.Abs(got.Boards[1]-c.wide) > 1e-6 {
			t.Errorf("objective %d: cost %v, boards %v; want %v, %v, %v", c.objective, got.Cost, got.Boards, c.cost, c.narrow, c.wide)
		}
	}
}

// Boards of 40 and 50 come in equal parts and give one strip of 40 each. Ripping all
// costs 45 a strip; setting the wide ones aside at a loss of a fraction l of their cost
// takes 40 + l x 50, which is less for l below 0.1.
func TestSetAside(t *testing.T) {
	for lost, want := range map[int64]float64{values.Everything: 45, 200_000: 45, 50_000: 42.5, 0: 40} {
		p := &values.Problem{Saw: knife(), Items: []order.Item{pieces(40, 10)}, Objective: values.Face, Lost: lost,
			Lots: []values.Lot{{ID: "mixed", Kinds: []lumber.Kind{{Board: board(1000, 40), Count: 3}, {Board: board(1000, 50), Count: 3}}}}}
		got := plan(t, p, values.Options{})
		if math.Abs(got.Cost-want*10/1000) > 1e-9 {
			t.Errorf("%d lost: cost %v, want %v", lost, got.Cost, want*10/1000)
		}
		if aside := got.Aside[0][1]; got.Aside[0][0] || aside != (want < 45) {
			t.Errorf("%d lost: set aside %v", lost, got.Aside)
		}
	}
}

// Amounts of every kind, by hand: a strip of 2 m holds three pieces of 600 mm; a
// run of 2 m two of 600 and one of 800; a range up to 60 takes 50 x 2000 mm of a
// board 50 wide.
func TestMeasures(t *testing.T) {
	long := pieces(50, 9)
	long.PieceLength = 600 * mm
	cuts := order.Item{ID: "b", Min: 50 * mm, Max: 50 * mm, Cuts: []order.Cut{
		{Length: 600 * mm, Limited: true, Required: 8}, {Length: 800 * mm, Limited: true, Required: 5, Made: 1}}}
	area := order.Item{ID: "c", Min: 40 * mm, Max: 60 * mm, Random: true, Measure: order.ByArea, Required: 1_000_000_000_000}
	metres := order.Item{ID: "d", Min: 50 * mm, Max: 50 * mm, Measure: order.ByLength, Required: 30_000_000, Made: 10_000_000}
	for _, c := range []struct {
		item order.Item
		want float64
	}{{long, 3}, {cuts, 4}, {area, 10}, {metres, 10}} {
		p := &values.Problem{Saw: knife(), Items: []order.Item{c.item}, Objective: values.Boards, Lost: values.Everything,
			Lots: []values.Lot{{ID: "lot", Kinds: []lumber.Kind{{Board: board(2000, 50), Count: 1}}}}}
		if got := plan(t, p, values.Options{}); math.Abs(got.Cost-c.want) > 1e-9 || math.Abs(got.Bound-c.want) > 1e-9 {
			t.Errorf("%s: cost %v, bound %v, want %v", c.item.ID, got.Cost, got.Bound, c.want)
		}
	}
}

// gang is an invented order on an invented saw, with lumber drawn at random.
func gang(seed uint64) *values.Problem {
	s := saw.Saw{Kerf: 4 * mm, Step: mm, Gap: 20 * mm, LeastStrip: 20 * mm, Trim: 4 * mm, Fence: saw.Travel{Max: 290 * mm}}
	for _, a := range []unit.Length{120, 174, 248, 292, 386} {
		s.Blades = append(s.Blades, saw.Blade{At: a * mm})
	}
	p := &values.Problem{Saw: s, Objective: values.Boards, Lost: values.Everything}
	for i, w := range []unit.Length{40, 50, 70, 90} {
		p.Items = append(p.Items, order.Item{ID: string(rune('a' + i)), Min: w * mm, Max: w * mm, LeastLength: 400 * mm,
			Measure: order.ByLength, Required: int64(40+10*i) * 1_000_000})
	}
	lot := lumber.Lot{From: lumber.Spread{Mean: 190 * mm, Deviation: 45 * mm, Least: 90 * mm, Greatest: 320 * mm, Crook: 5 * mm, Taper: 8 * mm,
		Lengths: []lumber.LengthShare{{Length: 1800 * mm, Share: 1}, {Length: 2400 * mm, Share: 2}}}}
	p.Lots = []values.Lot{{ID: "lot", Kinds: lot.Sample(25, seed)}}
	return p
}

// The answer is the same however the boards are priced, and replanning what is left costs
// less than planning all.
func TestReplanning(t *testing.T) {
	for seed := range uint64(5) {
		a := plan(t, gang(seed), values.Options{Gap: 1e-4})
		b := plan(t, gang(seed), values.Options{Gap: 1e-4, Each: func(n int, f func(int)) {
			for i := range n {
				f(n - 1 - i)
			}
		}})
		if !reflect.DeepEqual(a.Values, b.Values) || a.Cost != b.Cost || a.Bound != b.Bound {
			t.Errorf("seed %d: two answers", seed)
		}
		p := gang(seed)
		pl, err := values.New(p)
		if err != nil {
			t.Fatal(err)
		}
		open := pl.Demand.Open()
		first, err := pl.Plan(open, values.Options{Gap: 1e-4})
		if err != nil {
			t.Fatal(err)
		}
		open[0], open[1] = 0, open[1]/2
		left, err := pl.Plan(open, values.Options{Gap: 1e-4})
		if err != nil {
			t.Fatal(err)
		}
		if left.Cost >= first.Cost || left.Values[0] != 0 || left.Bound > left.Cost {
			t.Errorf("seed %d: %v left of %v, values %v", seed, left.Cost, first.Cost, left.Values)
		}
	}
}

// The bound holds for every way to rip the boards: here for ways found by values of all
// kinds.
func TestBoundHolds(t *testing.T) {
	p := gang(9)
	best := plan(t, p, values.Options{Gap: 1e-6})
	for rounds := 1; rounds < 6; rounds++ {
		pl, err := values.New(p)
		if err != nil {
			t.Fatal(err)
		}
		early, err := pl.Plan(pl.Demand.Open(), values.Options{Gap: 1e-6, Rounds: rounds})
		if err != nil {
			t.Fatal(err)
		}
		if early.Stopped == early.Proven || early.Bound > best.Cost || early.Cost < best.Bound {
			t.Errorf("after %d rounds: %v to %v; in the end %v to %v", rounds, early.Bound, early.Cost, best.Bound, best.Cost)
		}
	}
}
