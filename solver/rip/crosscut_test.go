package rip_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// crosscutting poses a one-dimensional cutting problem along the board: one pocket
// between two fixed blades, one item of its width, the lengths in millimetres. Each
// length may be cut a number of times; 0: without limit.
func crosscutting(board, kerf unit.Length, lengths, prices []int64, u, each int64) *rip.Problem {
	const mm = unit.Millimetre
	s := saw.Saw{Kerf: 4 * mm, Step: mm, Gap: 30 * mm, LeastStrip: 30 * mm, Trim: 0,
		Blades: []saw.Blade{{At: 0}, {At: 54 * mm}}}
	it := order.Item{ID: "strip", Min: 50 * mm, Max: 50 * mm, CutKerf: kerf}
	for i, l := range lengths {
		it.Cuts = append(it.Cuts, order.Cut{Length: unit.Length(l*u) * mm, Value: prices[i] * 1_000_000, Limited: each > 0, Required: each})
	}
	return &rip.Problem{Saw: s, Items: []order.Item{it}, Board: wood.Board{Length: board,
		Stations: []wood.Station{{Far: 80 * mm}}}}
}

// The rod prices of Cormen et al., section 15.1, also along the board and by the crosscut
// saw: without a kerf as printed (1 to 10; the rest recomputed), and with a kerf of 1
// between neighbours (recomputed, not published).
func TestCrosscutRods(t *testing.T) {
	const mm = unit.Millimetre
	plain := []int64{1, 5, 8, 10, 13, 17, 18, 22, 25, 30, 31, 35, 38, 40, 43, 47, 48, 52, 55, 60}
	kerfed := []int64{1, 5, 8, 9, 10, 17, 17, 20, 24, 30, 30, 31, 35, 38, 39, 41, 47, 47, 50, 54}
	for i := range plain {
		n := unit.Length(i + 1)
		if got := revenue(t, crosscutting(40*n*mm, 0, rodWidths, rodPrices, 40, 0)); got != plain[i] {
			t.Errorf("r(%d) = %d, want %d", n, got, plain[i])
		}
		if got := revenue(t, crosscutting(40*n*mm, 40*mm, rodWidths, rodPrices, 40, 0)); got != kerfed[i] {
			t.Errorf("with a kerf, %d: %d, want %d", n, got, kerfed[i])
		}
	}
	if got := revenue(t, crosscutting(1600*mm, 0, rodWidths, rodPrices, 40, 0)); got != 120 {
		t.Errorf("r(40) = %d, want 120", got)
	}
}

// Lengths of which one each is open make every run a 0/1 knapsack: Martello and Toth's
// published run, and Burkardt's KNAPSACK_01 data sets P01 and P07.
func TestCrosscutKnapsacks(t *testing.T) {
	const mm = unit.Millimetre
	for _, c := range []struct {
		source   string
		capacity unit.Length
		u        int64
		w, v     []int64
		want     int64
	}{
		{"Martello and Toth", 104, 10, []int64{25, 35, 45, 5, 25, 3, 2, 2}, []int64{350, 400, 450, 20, 70, 8, 5, 5}, 900},
		{"P01", 165, 10, []int64{23, 31, 29, 44, 53, 38, 63, 85, 89, 82}, []int64{92, 57, 49, 68, 60, 43, 67, 84, 87, 72}, 309},
		{"P07", 750, 2, []int64{70, 73, 77, 80, 82, 87, 90, 94, 98, 106, 110, 113, 115, 118, 120},
			[]int64{135, 139, 149, 150, 156, 163, 173, 184, 192, 201, 210, 214, 221, 229, 240}, 1458},
	} {
		// Two weights of the first set are equal; lengths may not be, so the second of
		// them is a micrometre longer, which affects no packing.
		p := crosscutting(c.capacity*unit.Length(c.u)*mm+10*unit.Micrometre, 0, c.w, c.v, c.u, 1)
		cuts := p.Items[0].Cuts
		for i := range cuts {
			for slices.ContainsFunc(cuts[:i], func(o order.Cut) bool { return o.Length == cuts[i].Length }) {
				cuts[i].Length += unit.Micrometre
			}
		}
		if got := revenue(t, p); got != c.want {
			t.Errorf("%s: %d, want %d", c.source, got, c.want)
		}
	}
}

// A run is cut to a worked example: 2400 mm less 2 trims of 20 leave 2360. Three
// pieces of 700 with two cuts of 5 between take 2110; a fourth cut and 245 are
// left over. 1000 + 700 + 600 with two cuts take 2310, and are worth more.
func TestCrosscutPlaces(t *testing.T) {
	const mm = unit.Millimetre
	p := crosscutting(2400*mm, 5*mm, []int64{700, 1000, 600}, []int64{30, 45, 24}, 1, 0)
	p.Items[0].EndTrim = 20 * mm
	r, err := rip.Solve(p, rip.Options{})
	if err != nil {
		t.Fatal(err)
	}
	want := []rip.Piece{{Cut: 0, From: 20 * mm, To: 720 * mm}, {Cut: 1, From: 725 * mm, To: 1725 * mm}, {Cut: 2, From: 1730 * mm, To: 2330 * mm}}
	k := r.Best.Pockets[0]
	if !slices.Equal(k.Pieces, want) || k.Worth.Money() != 99 {
		t.Errorf("%v worth %v, want %v worth 99", k.Pieces, k.Worth.Money(), want)
	}
	// The strip is 50 mm x 2400, its pieces 50 mm x 2300.
	if got := r.Best.Account.CrosscutLoss.SquareMetres(); got != 0.005 {
		t.Errorf("crosscut loss %v m2, want 0.005", got)
	}
	// A length that is full drops out: without the 1000 it is three of 700.
	p.Items[0].Cuts[1].Limited, p.Items[0].Cuts[1].Required, p.Items[0].Cuts[1].Made = true, 4, 4
	if r, err = rip.Solve(p, rip.Options{}); err != nil || r.Best.Worth.Money() != 90 {
		t.Errorf("%v, worth %v, want 90", err, r.Best.Worth.Money())
	}
}

// A knot across the strip breaks its run for an item that refuses it, and not for one
// that accepts it; the plan avoids it if possible.
func TestKnots(t *testing.T) {
	const mm = unit.Millimetre
	p := crosscutting(2400*mm, 0, nil, nil, 1, 0)
	p.Items[0].Value = 10_000_000
	p.Board.Defects = []wood.Defect{{FromX: 1000 * mm, ToX: 1100 * mm, FromY: 20 * mm, ToY: 30 * mm, Kind: "knot"}}
	counted := func() unit.Run {
		r, err := rip.Solve(p, rip.Options{})
		if err != nil {
			t.Fatal(err)
		}
		return r.Best.Pockets[0].Counted
	}
	// The pocket lies at y 4 to 54 with the fence at 0: 2400 less the knot's 100.
	if got := counted(); got.MM() != 2300 {
		t.Errorf("counted %v, want 2300", got.MM())
	}
	p.Items[0].LeastLength = 1100 * mm // 1000 before the knot no longer count
	if got := counted(); got.MM() != 1300 {
		t.Errorf("counted %v, want 1300", got.MM())
	}
	p.Items[0].Accepts = []string{"knot"}
	if got := counted(); got.MM() != 2400 {
		t.Errorf("accepted: counted %v, want 2400", got.MM())
	}
	p.Items[0].Accepts = nil
	p.Board.Defects[0].ToY, p.Board.Defects[0].FromY = 4*mm, 2*mm // touching is not overlapping
	if got := counted(); got.MM() != 2400 {
		t.Errorf("beside: counted %v, want 2400", got.MM())
	}
}

// Worked: a board 58 mm wide whose edges run askew by 10 mm per m holds a strip of 50 mm
// over its whole 2 m once it is set back by 10 mm per m, within what the 8 mm of spare
// width allow, and not as it lies.
func TestSkewStraightens(t *testing.T) {
	const mm = unit.Millimetre
	p := crosscutting(2000*mm, 0, nil, nil, 1, 0)
	p.Items[0].Value = 10_000_000
	p.Board.Stations = []wood.Station{{X: 0, Near: 0, Far: 58 * mm}, {X: 2000 * mm, Near: 20 * mm, Far: 78 * mm}}
	p.Saw.Fence = saw.Travel{Min: -10 * mm, Max: 10 * mm}
	counted := func() (unit.Length, float64) {
		r, err := rip.Solve(p, rip.Options{})
		if err != nil {
			t.Fatal(err)
		}
		return r.Best.Skew, r.Best.Pockets[0].Counted.MM()
	}
	if skew, n := counted(); skew != 0 || n >= 2000 {
		t.Errorf("as it lies: skew %v, counted %v", skew.MM(), n)
	}
	p.Saw.Skew = 12 * mm
	if skew, n := counted(); skew > -6*mm || skew < -12*mm || n != 2000 {
		t.Errorf("skew %v, counted %v; want 2000 at -14 to -6 mm per m", skew.MM(), n)
	}
}

// A skew beyond any infeed, or finer than any setting, is refused.
func TestSkewLimits(t *testing.T) {
	const mm = unit.Millimetre
	p := crosscutting(2000*mm, 0, nil, nil, 1, 0)
	for _, c := range []struct {
		limit, step unit.Length
		says        string
	}{
		{50 * mm, mm / 10, ""},
		{50*mm + 1, mm / 10, "no more than the infeed can set"},
		{-1, mm / 10, "must be 0 (none) to 50"},
		{10 * mm, mm / 100, "more than 500 steps of 0.01"},
	} {
		p.Saw.Skew, p.Saw.Step = c.limit, c.step
		l := p.Saw.Faults()
		if c.says == "" && len(l) == 0 {
			continue
		}
		if len(l) != 1 || l[0].Path != "max_skew_mm_per_m" || !strings.Contains(l[0].Says, c.says) {
			t.Errorf("limit %v, step %v: %v, want %q", c.limit.MM(), c.step.MM(), l, c.says)
		}
	}
}
