package tally

import (
	"fmt"
	"math/big"
	"testing"

	"github.com/ripwright/ripwright/solver/unit"
)

// in gives num/den inches, which must be a whole number of nanometres.
func in(num, den int64) unit.Length { return unit.Inch * unit.Length(num) / unit.Length(den) }

func ft(num, den int64) unit.Length { return unit.Foot * unit.Length(num) / unit.Length(den) }

func board(w, l unit.Length) Board { return Board{Width: w, Length: l, Pieces: 1} }

func feetBy(r Rule, nominal unit.Length, boards ...Board) *big.Rat {
	return Measure(boards, nominal, nil).BoardFeet(r, nominal)
}

func want(t *testing.T, what string, got *big.Rat, num, den int64) {
	t.Helper()
	if got.Cmp(big.NewRat(num, den)) != 0 {
		t.Errorf("%s: %s, want %s", what, got.RatString(), big.NewRat(num, den).RatString())
	}
}

// 1 in = 25.4 mm and 1 ft = 304.8 mm, exactly: NIST SP 811, Appendix B (from
// memory). 1 board foot = 144 in3 = 2359.737216 cm3: follows from the inch;
// Debian units 2.22, "boardfoot ft^2 inch" (read, recomputed).
func TestUnits(t *testing.T) {
	if unit.Inch.MM() != 25.4 || unit.Foot.MM() != 304.8 {
		t.Errorf("inch %v mm, foot %v mm", unit.Inch.MM(), unit.Foot.MM())
	}
	one := feetBy(ExactVolume, unit.Inch, board(in(12, 1), ft(1, 1)))
	want(t, "12 in x 1 ft x 1 in", one, 1, 1)
	want(t, "a board foot in m3", CubicMetres(one), 2_359_737_216, 1_000_000_000_000)
	perCubicMetre, _ := new(big.Rat).Inv(CubicMetres(one)).Float64()
	if s := fmt.Sprintf("%.12f", perCubicMetre); s != "423.776000657863" {
		t.Errorf("1 m3 is %s board feet", s)
	}
	// A cubic metre of wood: 1 m x 1 m x 1 m.
	b := Board{Width: 1000 * unit.Millimetre, Length: 1000 * unit.Millimetre, Thickness: 1000 * unit.Millimetre, Pieces: 1}
	want(t, "1 m3 by metric volume", CubicMetres(feetBy(MetricVolume, unit.Inch, b)), 1, 1)
	// 2359.737225 and 2359.737226 circulate in public code and are wrong.
	for _, wrong := range []int64{2_359_737_225, 2_359_737_226} {
		if CubicMetres(one).Cmp(big.NewRat(wrong, 1_000_000_000_000)) == 0 {
			t.Errorf("a board foot is taken for %d mm3", wrong)
		}
	}
}

// Surface measure of single boards; lengths in half feet, widths in quarter
// inches.
func TestSurfaceMeasureTable(t *testing.T) {
	for _, c := range []struct {
		quarters, halfFeet int64
		raw                *big.Rat // over whole feet of length
		surface            int64
		source             string
	}{
		{25, 16, big.NewRat(25, 6), 4, "American Hardwood Export Council, Measurement (read)"},
		{26, 16, big.NewRat(13, 3), 4, "NHLA para. 16 as retold (second-hand)"},
		{32, 24, big.NewRat(8, 1), 8, "as retold (second-hand)"},
		{40, 26, big.NewRat(65, 6), 11, "as retold (second-hand)"},
	} {
		w, l := in(c.quarters, 4), ft(c.halfFeet, 2)
		name := fmt.Sprintf("%d/4 in x %d/2 ft, %s", c.quarters, c.halfFeet, c.source)
		if got := feetBy(ExactVolume, unit.Inch, board(w, l)); got.Cmp(c.raw) != 0 {
			t.Errorf("%s: raw %s, want %s", name, got.RatString(), c.raw.RatString())
		}
		want(t, name, feetBy(SurfaceMeasure, unit.Inch, board(w, l)), c.surface, 1)
	}
	// The first board is 8/4 stock, so 8 board feet (AHEC, read).
	want(t, "6 1/4 in x 8 ft of 8/4", feetBy(SurfaceMeasure, in(8, 4), board(in(25, 4), ft(8, 1))), 8, 1)
}

// 5 1/4 in x 8 1/2 ft is 5 in x 8 ft in an export tally (American Hardwood Export
// Council, Measurement; read): widths to the nearest inch, lengths down to the
// whole foot.
func TestExportTally(t *testing.T) {
	want(t, "5 1/4 in x 8 1/2 ft", feetBy(EndTally, unit.Inch, board(in(21, 4), ft(17, 2))), 5*8, 12)
}

// Widths at exact half inches go up and down in turn (American Hardwood Export Council,
// Measurement; read).
func TestExportTallyHalves(t *testing.T) {
	half := board(in(11, 2), ft(12, 1))
	for n, inches := range []int64{0, 6, 11, 17, 22} {
		boards := []Board{half, half, half, half}[:n]
		want(t, fmt.Sprintf("%d boards of 5 1/2 in x 12 ft", n), feetBy(EndTally, unit.Inch, boards...), inches, 1)
	}
}

// An exact half foot of surface measure goes up, then down, in turn through the tally,
// whether or not other boards lie in between (second-hand, NHLA practice). A line of
// several pieces counts as that many boards.
func TestSurfaceMeasureHalves(t *testing.T) {
	half, whole := board(in(6, 1), ft(9, 1)), board(in(8, 1), ft(12, 1)) // 4 1/2 and 8
	want(t, "one", feetBy(SurfaceMeasure, unit.Inch, half), 5, 1)
	want(t, "two", feetBy(SurfaceMeasure, unit.Inch, half, half), 9, 1)
	want(t, "two around another", feetBy(SurfaceMeasure, unit.Inch, half, whole, half), 17, 1)
	three := half
	three.Pieces = 3
	want(t, "a line of three", feetBy(SurfaceMeasure, unit.Inch, three), 14, 1)
	want(t, "and one more", feetBy(SurfaceMeasure, unit.Inch, three, half), 18, 1)
}

// Length is rounded down to the whole foot, width keeps its fraction (second-hand).
func TestLengthDownWidthKept(t *testing.T) {
	want(t, "6 3/4 in x 9 11/12 ft", feetBy(SurfaceMeasure, unit.Inch, board(in(27, 4), ft(119, 12))), 5, 1) // 5 1/16
	want(t, "6 in x 10 ft less 1 nm", feetBy(SurfaceMeasure, unit.Inch, board(in(6, 1), ft(10, 1)-1)), 5, 1) // 4 1/2, first half
	want(t, "6 in x 10 ft", feetBy(SurfaceMeasure, unit.Inch, board(in(6, 1), ft(10, 1))), 5, 1)
	want(t, "7 in x 10 ft less 1 nm", feetBy(EndTally, unit.Inch, board(in(7, 1), ft(10, 1)-1)), 63, 12)
}

// Board feet are the sum of surface measures times nominal thickness; stock under
// 1 in counts as 1 in (second-hand).
func TestThickness(t *testing.T) {
	b := board(in(8, 1), ft(12, 1))
	for _, c := range []struct{ eighths, feetTimes8 int64 }{{3, 64}, {5, 64}, {6, 64}, {8, 64}, {10, 80}, {12, 96}, {16, 128}} {
		want(t, fmt.Sprintf("%d/8 in", c.eighths), feetBy(SurfaceMeasure, in(c.eighths, 8), b), c.feetTimes8, 8)
	}
}

// Random-width lumber is tallied on surface measure, and if an end tally disagrees the
// surface measure governs (NHLA para. 18, 2015 and 2023; read via NHLA Rules Corner): so
// it is the default rule.
func TestSurfaceMeasureGoverns(t *testing.T) {
	var terms Terms
	boards := []Board{board(in(21, 4), ft(8, 1))} // 3 1/2 up to 4, against 5 x 8 / 12
	r, err := terms.Account([]Pack{{Thickness: unit.Inch, Boards: boards}})
	if err != nil {
		t.Fatal(err)
	}
	want(t, "governing", r.Accounts[0].Measured, 4, 1)
	want(t, "beside it", r.Accounts[0].Sums.BoardFeet(EndTally, unit.Inch), 10, 3)
}

// Printed board-foot table: Roy, Timber Framing for the Rest of Us (second-hand).
func TestPrintedTable(t *testing.T) {
	for _, c := range []struct {
		thick, wide int64
		feet        [7]string
	}{
		{4, 4, [7]string{"10.7", "13.3", "16.0", "18.7", "21.3", "24.0", "26.7"}},
		{4, 6, [7]string{"16.0", "20.0", "24.0", "28.0", "32.0", "36.0", "40.0"}},
		{4, 8, [7]string{"21.3", "26.7", "32.0", "37.3", "42.7", "48.0", "53.3"}},
		{5, 10, [7]string{"33.3", "41.7", "50.0", "58.3", "66.7", "75.0", "83.3"}},
		{6, 8, [7]string{"32.0", "40.0", "48.0", "56.0", "64.0", "72.0", "80.0"}},
		{8, 10, [7]string{"53.3", "66.7", "80.0", "93.3", "106.7", "120.0", "133.3"}},
	} {
		for i, printed := range c.feet {
			l := int64(8 + 2*i)
			for _, r := range []Rule{ExactVolume, EndTally, BlockTally, MetricVolume} {
				if got := feetBy(r, in(c.thick, 1), board(in(c.wide, 1), ft(l, 1))).FloatString(1); got != printed {
					t.Errorf("%dx%d, %d ft by rule %d: %s, printed %s", c.thick, c.wide, l, r, got, printed)
				}
			}
		}
	}
	// From the same source: single sizes.
	want(t, "1x12x10 ft", feetBy(ExactVolume, in(1, 1), board(in(12, 1), ft(10, 1))), 10, 1)
	want(t, "2x6x12 ft", feetBy(ExactVolume, in(2, 1), board(in(6, 1), ft(12, 1))), 12, 1)
	want(t, "1x6x96 in", feetBy(ExactVolume, in(1, 1), board(in(6, 1), in(96, 1))), 4, 1)
}

// Kiln-dried scant tolerance: 3/8 in to 1 3/4 in stock may be 1/16 in scant, 2 in
// and thicker 1/8 in (NHLA Standard Kiln Dried Rule, 2023, p. 56; read). Green
// lumber must be of full thickness (common practice).
func TestScant(t *testing.T) {
	for _, c := range []struct {
		nominal   unit.Length
		tolerance unit.Length
	}{{in(3, 8), in(1, 16)}, {in(1, 1), in(1, 16)}, {in(7, 4), in(1, 16)}, {in(2, 1), in(1, 8)}, {in(4, 1), in(1, 8)}, {in(1, 4), 0}} {
		if got := ScantTolerance(c.nominal, Net); got != c.tolerance {
			t.Errorf("%v mm nominal: %v mm, want %v", c.nominal.MM(), got.MM(), c.tolerance.MM())
		}
		if got := ScantTolerance(c.nominal, Gross); got != 0 {
			t.Errorf("green, %v mm nominal: %v mm", c.nominal.MM(), got.MM())
		}
		just := Board{Width: in(6, 1), Length: ft(8, 1), Thickness: c.nominal - c.tolerance, Pieces: 1}
		less := just
		less.Thickness--
		p := Pack{Thickness: c.nominal, Scant: -1, Boards: []Board{just, less}}
		if f := p.findings(); len(f) != 1 || f[0].Board != 1 || f[0].Kind != Scant || f[0].Least != just.Thickness {
			t.Errorf("%v mm nominal: %v", c.nominal.MM(), f)
		}
	}
}

// Mean surface measure per board of Appalachian red oak, ft2: FAS 9.1, Selects 7.5, 1C
// 6.3, 2AC 6.2 (Wiedenbeck, Gatchell, Walker 1995, Forest Products Journal 45(3):45-50,
// abstract; read). The surface measure of ten boards with that mean is ten times as much
// in 4/4, and a quarter more in 5/4.
func TestMeanBoardsByGrade(t *testing.T) {
	for grade, tenths := range map[string]int64{"FAS": 91, "Selects": 75, "1C": 63, "2AC": 62} {
		more := tenths % 10
		s := &Supplied{Form: Surfaces, Surfaces: []Surface{{tenths / 10, 10 - more}, {tenths/10 + 1, more}}}
		for _, c := range []struct{ quarters int64 }{{4}, {5}} {
			got, _ := s.boardFeet(SurfaceMeasure, in(c.quarters, 4))
			want(t, fmt.Sprintf("%s %d/4", grade, c.quarters), got, tenths*c.quarters, 4)
		}
		if n := s.pieces(); n != 10 {
			t.Errorf("%s: %d pieces", grade, n)
		}
	}
}
