package lumber_test

import (
	"math"
	"reflect"
	"testing"

	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

const mm = unit.Millimetre

// Board feet = width (in) x length (ft) x thickness (in) / 12, unrounded. The
// values are those of the printed board-foot table in Roy, Timber Framing for the
// Rest of Us (second-hand), which rounds to a tenth.
func TestBoardFeet(t *testing.T) {
	for _, c := range []struct {
		thick, wide, long unit.Length // in, in, ft
		want              float64
	}{
		{4, 4, 8, 10.7}, {4, 6, 10, 20}, {4, 8, 14, 37.3}, {5, 10, 16, 66.7}, {6, 8, 18, 72}, {8, 10, 20, 133.3},
		{1, 12, 10, 10}, {2, 6, 12, 12},
	} {
		b := wood.Board{Length: c.long * unit.Foot, Thickness: c.thick * unit.Inch, Stations: []wood.Station{{Far: c.wide * unit.Inch}}}
		if got := lumber.BoardFeet(&b); math.Round(got*10)/10 != c.want {
			t.Errorf("%d x %d in x %d ft: %v, want %v", c.thick, c.wide, c.long, got, c.want)
		}
	}
}

var spread = lumber.Spread{Mean: 180 * mm, Deviation: 30 * mm, Least: 100 * mm, Greatest: 260 * mm, Crook: 10 * mm, Taper: 20 * mm,
	Thickness: 25 * mm, Lengths: []lumber.LengthShare{{Length: 2000 * mm, Share: 3}, {Length: 3000 * mm, Share: 1}}}

func TestSpread(t *testing.T) {
	lot := lumber.Lot{From: spread}
	const n = 2000
	kinds := lot.Sample(n, 5)
	if !reflect.DeepEqual(kinds, lot.Sample(n, 5)) {
		t.Error("two samples of one seed")
	}
	if reflect.DeepEqual(kinds[:5], lot.Sample(n, 6)[:5]) {
		t.Error("one sample of two seeds")
	}
	mean, long := 0.0, 0
	for _, k := range kinds {
		if l := k.Board.Faults(); len(l) > 0 {
			t.Fatal(l)
		}
		middle := k.Board.Stations[len(k.Board.Stations)/2]
		mean += (middle.Far - middle.Near).MM() / n
		if k.Board.Length == 3000*mm {
			long++
		}
		if k.Board.Stations[0].Near != 0 {
			t.Error("a board that does not touch the fence")
		}
	}
	// Five standard errors: 30 / sqrt(2000) mm, and sqrt(2000 x 3/16) boards.
	if math.Abs(mean-180) > 3.4 || math.Abs(float64(long)-500) > 97 {
		t.Errorf("mean width %v, %d long of %d", mean, long, n)
	}
}

func TestTagAndList(t *testing.T) {
	tag := lumber.Tagged{Thickness: 25 * mm, Rows: []lumber.TagRow{{Width: 150 * mm, Length: 2000 * mm, Count: 3}, {Width: 200 * mm, Length: 2000 * mm, Count: 1}}}
	lot := lumber.Lot{From: tag}
	if kinds := lot.Sample(10, 1); len(kinds) != 2 || kinds[0].Count != 3 || kinds[1].Board.Stations[0].Far != 200*mm {
		t.Errorf("%v", kinds)
	}
	// More kinds than wanted: they are drawn, three to one.
	narrow := 0
	drawn := 0
	for seed := range uint64(400) {
		for _, k := range lot.Sample(1, seed) {
			drawn++
			if k.Board.Stations[0].Far == 150*mm {
				narrow++
			}
		}
	}
	if drawn != 400 || math.Abs(float64(narrow)-300) > 44 {
		t.Errorf("%d narrow of %d", narrow, drawn)
	}
}

func TestFaults(t *testing.T) {
	ok := func() []lumber.Lot { return []lumber.Lot{{ID: "a", From: spread}} }
	if l := lumber.Faults(ok()); len(l) > 0 {
		t.Fatal(l)
	}
	with := func(f func(*lumber.Spread)) []lumber.Lot {
		s := spread
		f(&s)
		return []lumber.Lot{{ID: "a", From: s}}
	}
	for path, lots := range map[string][]lumber.Lot{
		"lots":                                     {},
		"lots[1].lot_id":                           append(ok(), ok()...),
		"lots[0].price_per_mbf":                    {{ID: "a", Price: -1, From: spread}},
		"lots[0].spread.mean_width_mm":             with(func(s *lumber.Spread) { s.Mean = 90 * mm }),
		"lots[0].spread.width_sd_mm":               with(func(s *lumber.Spread) { s.Deviation = -1 }),
		"lots[0].spread.min_width_mm":              with(func(s *lumber.Spread) { s.Least = 0 }),
		"lots[0].spread.max_width_mm":              with(func(s *lumber.Spread) { s.Greatest = 1001 * mm }),
		"lots[0].spread.crook_mm":                  with(func(s *lumber.Spread) { s.StraightNear = true }),
		"lots[0].spread.taper_mm":                  with(func(s *lumber.Spread) { s.Taper = 101 * mm }),
		"lots[0].spread.thickness_mm":              with(func(s *lumber.Spread) { s.Thickness = -1 }),
		"lots[0].spread.lengths":                   with(func(s *lumber.Spread) { s.Lengths = nil }),
		"lots[0].spread.lengths[0].length_mm":      with(func(s *lumber.Spread) { s.Lengths = []lumber.LengthShare{{Share: 1}} }),
		"lots[0].listed":                           {{ID: "a", From: lumber.Listed{}}},
		"lots[0].listed.boards[0].count":           {{ID: "a", From: lumber.Listed{{}}}},
		"lots[0].listed.boards[0].board.length_mm": {{ID: "a", From: lumber.Listed{{Count: 1}}}},
		"lots[0].tagged.rows":                      {{ID: "a", From: lumber.Tagged{}}},
		"lots[0].tagged.rows[0].width_mm":          {{ID: "a", From: lumber.Tagged{Rows: []lumber.TagRow{{Length: mm, Count: 1}}}}},
	} {
		found := false
		l := lumber.Faults(lots)
		for _, f := range l {
			found = found || f.Path == path
		}
		if !found {
			t.Errorf("%s: %v", path, l)
		}
	}
}

// A Drawer draws the same boards as Draw.
func TestDrawer(t *testing.T) {
	kinds := lumber.Listed{{Board: wood.Board{Length: 1}, Count: 3}, {Board: wood.Board{Length: 2}, Count: 1}, {Board: wood.Board{Length: 3}, Count: 7}}
	for name, from := range map[string]lumber.Source{
		"listed": kinds,
		"tagged": lumber.Tagged{Rows: []lumber.TagRow{{Width: 5, Length: 1, Count: 2}, {Width: 6, Length: 2, Count: 9}, {Width: 7, Length: 3, Count: 1}}},
		"spread": lumber.Spread{Mean: 200 * unit.Millimetre, Deviation: 30 * unit.Millimetre, Least: 100 * unit.Millimetre, Greatest: 400 * unit.Millimetre,
			Taper: unit.Millimetre, Lengths: []lumber.LengthShare{{Length: 10 * unit.Millimetre, Share: 4}, {Length: 20 * unit.Millimetre, Share: 1}}},
	} {
		a, b, draw := lumber.Random(7, 1), lumber.Random(7, 1), from.Drawer()
		for i := range 2000 {
			if x, y := from.Draw(a), draw(b); !reflect.DeepEqual(x, y) {
				t.Fatalf("%s, board %d: %+v and %+v", name, i, x, y)
			}
		}
	}
}
