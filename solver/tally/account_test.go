package tally

import (
	"errors"
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/unit"
)

func account(t *testing.T, terms Terms, packs ...Pack) *Result {
	t.Helper()
	r, err := terms.Account(packs)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// What is consumed and what is left add up exactly to what was received, by every rule,
// and what is left lies within its bounds.
func TestLeftAddsUp(t *testing.T) {
	for seed := range uint64(500) {
		r := rand.New(rand.NewPCG(seed, 6))
		p := Pack{Thickness: someThickness(r), Boards: someBoards(r, 30), Price: 900 * 1_000_000}
		for i := range p.Boards {
			p.Boards[i].Consumed = r.IntN(2) == 0
		}
		for _, rule := range Rules() {
			a := account(t, Terms{Rule: rule, Instrument: fair}, p).Accounts[0]
			gone := Measure(p.Boards, p.Thickness, consumed).BoardFeet(rule, p.Thickness)
			if sum := new(big.Rat).Add(gone, a.Left.BoardFeet); sum.Cmp(a.Measured) != 0 {
				t.Fatalf("seed %d, rule %d: %s gone, %s left of %s", seed, rule, gone, a.Left.BoardFeet, a.Measured)
			}
			if a.Left.Least.Cmp(a.Left.BoardFeet) > 0 || a.Left.Most.Cmp(a.Left.BoardFeet) < 0 || a.Left.Over.Sign() != 0 {
				t.Fatalf("seed %d, rule %d: %+v", seed, rule, a.Left)
			}
			value := new(big.Rat).Mul(a.Left.BoardFeet, big.NewRat(9, 10))
			if a.Left.Value.Cmp(value) != 0 {
				t.Fatalf("seed %d, rule %d: value %s, want %s", seed, rule, a.Left.Value, value)
			}
		}
	}
}

// A pack known by its tally: some boards were scanned at the saw, others went through a
// run of which only sums are known.
func TestLeftByTally(t *testing.T) {
	b := board(in(8, 1), ft(12, 1)) // 8 board feet of 4/4
	b.Pieces = 10
	tallied := &Supplied{Form: Surfaces, Surfaces: []Surface{{8, 50}}}
	p := Pack{Thickness: unit.Inch, Price: 2000 * 1_000_000, Tally: tallied, Boards: []Board{b}, Scope: ConsumedSoFar,
		Supplier: "Fenmoor"}
	l := account(t, Terms{}, p).Accounts[0].Left
	want(t, "left", l.BoardFeet, 320, 1)
	want(t, "value", l.Value, 640, 1)
	if !l.FromTally || l.Record || l.Boards != 40 || account(t, Terms{}, p).Accounts[0].Comparison != nil {
		t.Errorf("%+v", l)
	}

	// Ten more boards as a run's sums: 80 ft2 of face.
	p.Runs = []Run{{Boards: 10, Face: unit.Area(80 * 12 * 12 * 25400 * 25400_000), Length: ft(120, 1)}}
	l = account(t, Terms{Rule: ExactVolume}, p).Accounts[0].Left
	want(t, "left after the run", l.BoardFeet, 240, 1)
	want(t, "exactly", l.Least, 240, 1)
	l = account(t, Terms{}, p).Accounts[0].Left
	// By surface measure each of the ten may count up to 1/2 ft2 more or less, and up to
	// 8/12 ft2 less for its length beyond whole feet.
	want(t, "least", l.Least, 235, 1)
	if most, _ := l.Most.Float64(); math.Abs(most-(240+5+10*8/12.)) > 1e-9 {
		t.Errorf("most %v", most)
	}

	// A record of three packs: 2 % short on average, with a spread of 1 %.
	past := func(measured int64) Past {
		return Past{Supplier: "Fenmoor", Tallied: big.NewRat(1000, 1), Measured: big.NewRat(measured, 1)}
	}
	terms := Terms{Rule: ExactVolume, Past: []Past{past(970), past(980)}}
	if account(t, terms, p).Accounts[0].Left.Record {
		t.Error("a record of two packs is used")
	}
	terms.Past = append(terms.Past, past(990))
	l = account(t, terms, p).Accounts[0].Left
	least, _ := l.Least.Float64()
	most, _ := l.Most.Float64()
	if !l.Record || math.Abs(least-(240-.04*400)) > 1e-9 || math.Abs(most-240) > 1e-9 {
		t.Errorf("with a record: %v to %v, %v", least, most, l.Record)
	}

	// If more is consumed than was tallied, nothing is left and the excess is reported.
	p.Boards[0].Pieces = 60
	l = account(t, Terms{Rule: ExactVolume}, p).Accounts[0].Left
	want(t, "nothing left", l.BoardFeet, 0, 1)
	want(t, "over", l.Over, 160, 1)
	if l.Boards != 0 {
		t.Errorf("%d boards left", l.Boards)
	}
}

// If only the consumed boards of a pack are known, what is left is unknown.
func TestLeftUnknown(t *testing.T) {
	r := account(t, Terms{}, Pack{Thickness: unit.Inch, Scope: ConsumedSoFar, Boards: []Board{board(in(8, 1), ft(12, 1))}})
	if r.Accounts[0].Left != nil || r.All.LeftUnknown != 1 {
		t.Errorf("%+v", r.All)
	}
}

// The difference in board feet, per cent and money.
func TestComparison(t *testing.T) {
	b := board(in(8, 1), ft(12, 1))
	b.Pieces = 95
	p := Pack{Thickness: in(5, 4), Price: 1600 * 1_000_000, Boards: []Board{b}, Tally: &Supplied{Form: Surfaces, Surfaces: []Surface{{8, 100}}}}
	c := account(t, Terms{Instrument: fair}, p).Accounts[0].Comparison
	want(t, "board feet", c.Difference, -50, 1)
	want(t, "per cent", c.Percent, -5, 1)
	want(t, "money", c.Money, -80, 1)
	// Every board just makes 12 ft, and 8 ft2 need no more than 11.25 ft of 8 in:
	// one foot less would still round to 7, so up to 95 ft2 could be the readings'.
	if c.Verdict != Lacks || c.Lacking.Sign() != 0 {
		t.Errorf("verdict %d, %s explained", c.Verdict, c.Lacking)
	}
	want(t, "surplus explained", c.Surplus, 95*5, 4)
}

// Totals by group are the sums of their packs, exactly, and all groups together
// are the whole.
func TestGroups(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 7))
	var packs []Pack
	for i := range 40 {
		p := Pack{Species: []string{"white ash", "sweetgum"}[i%2], Grade: []string{"FAS", "1C", "2AC"}[r.IntN(3)],
			Thickness: in(4+int64(r.IntN(2)), 4), Price: r.Int64N(3000) * 1_000_000, Boards: someBoards(r, 10)}
		if i%3 == 0 {
			p.Tally = &Supplied{Form: Total, BoardFeet: r.Int64N(1e9)}
		}
		packs = append(packs, p)
	}
	res := account(t, Terms{Rule: ExactVolume, Instrument: fair}, packs...)
	sum := newGroup(&Pack{})
	for _, g := range res.Groups {
		mine := newGroup(&Pack{})
		for i, a := range res.Accounts {
			if p := packs[i]; p.Species == g.Species && p.Grade == g.Grade && p.Thickness == g.Thickness {
				mine.add(a)
			}
		}
		for _, c := range [][2]*big.Rat{{g.Measured, mine.Measured}, {g.Tallied, mine.Tallied}, {g.Left, mine.Left},
			{g.DifferenceBoardFeet, mine.DifferenceBoardFeet}, {g.DifferenceMoney, mine.DifferenceMoney}, {g.ValueLeft, mine.ValueLeft}} {
			if c[0].Cmp(c[1]) != 0 {
				t.Errorf("%s %s: %s, by hand %s", g.Species, g.Grade, c[0], c[1])
			}
		}
		sum.Packs += g.Packs
		sum.Measured.Add(sum.Measured, g.Measured)
		sum.ValueLeft.Add(sum.ValueLeft, g.ValueLeft)
	}
	if sum.Packs != 40 || len(res.Groups) < 6 || sum.Measured.Cmp(res.All.Measured) != 0 || sum.ValueLeft.Cmp(res.All.ValueLeft) != 0 {
		t.Errorf("%d packs in %d groups: %s of %s", sum.Packs, len(res.Groups), sum.Measured, res.All.Measured)
	}
}

// Mean, spread and trend of differences of -1, 0 and 4 % over three packs: the mean is 1,
// the variance (4 + 1 + 9) / 2 = 7, the slope 5/2; the residuals are 1/2, -1 and 1/2, so
// the variance of the slope is 3/2 / 1 / 2. The interval of the mean is 4.303 times its
// standard error of sqrt(7/3) on either side: the 0.975 quantile of Student's t with two
// degrees of freedom (NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2).
func TestAccuracy(t *testing.T) {
	past := func(who string, measured int64) Past {
		return Past{Supplier: who, Tallied: big.NewRat(100, 1), Measured: big.NewRat(measured, 1)}
	}
	res := account(t, Terms{Past: []Past{past("Fenmoor", 99), past("Tarn", 100), past("Fenmoor", 100)}},
		Pack{Supplier: "Fenmoor", Thickness: unit.Inch, Boards: []Board{{Width: in(12, 1), Length: ft(1, 1), Pieces: 104}},
			Tally: &Supplied{Form: Surfaces, Surfaces: []Surface{{1, 100}}}})
	if len(res.Accuracy) != 2 || res.Accuracy[0].Supplier != "Fenmoor" || res.Accuracy[1].Packs != 1 {
		t.Fatalf("%+v", res.Accuracy)
	}
	a := res.Accuracy[0]
	for what, v := range map[string][2]float64{"mean": {a.Mean, 1}, "spread": {a.Spread, math.Sqrt(7)},
		"trend": {a.Trend, 2.5}, "its error": {a.TrendError, math.Sqrt(0.75)}, "packs": {float64(a.Packs), 3}} {
		if math.Abs(v[0]-v[1]) > 1e-12 {
			t.Errorf("%s %v, want %v", what, v[0], v[1])
		}
	}
	if wide := 4.303 * math.Sqrt(7.0/3); math.Abs(a.Low-1+wide) > 5e-4*wide || math.Abs(a.High-1-wide) > 5e-4*wide {
		t.Errorf("the mean lies between %v and %v, want %v either way of 1", a.Low, a.High, wide)
	}
	if one := res.Accuracy[1]; one.Low != one.Mean || one.High != one.Mean {
		t.Errorf("of one pack the mean lies between %v and %v", one.Low, one.High)
	}
	want(t, "measured", a.Measured, 303, 1)
}

// The half-width of the interval over the standard error is Student's t: values of the
// same table, for 2, 3, 6, 11, 31 and 101 packs.
func TestRecordByStudentsT(t *testing.T) {
	for n, want := range map[int]float64{2: 12.706, 3: 4.303, 6: 2.571, 11: 2.228, 31: 2.042, 101: 1.984} {
		var a Accuracy
		y := make([]float64, n)
		for i := range y {
			y[i] = float64(i * i % 7)
		}
		a.fit(y)
		if got := (a.High - a.Mean) / a.Spread * math.Sqrt(float64(n)); math.Abs(got-want) > 5.1e-4 || math.Abs(a.Low+a.High-2*a.Mean) > 1e-12*a.High {
			t.Errorf("%d packs: %v, the table has %v", n, got, want)
		}
	}
}

// Short and narrow boards are listed with their limits; a board exactly at a limit
// passes.
func TestFindings(t *testing.T) {
	p := Pack{Thickness: unit.Inch, LeastWidth: in(4, 1), LeastLen: ft(6, 1), Boards: []Board{
		board(in(4, 1), ft(6, 1)), board(in(4, 1)-1, ft(6, 1)), board(in(5, 1), ft(6, 1)-1)}}
	f := p.findings()
	if len(f) != 2 || f[0] != (Finding{1, Narrow, in(4, 1) - 1, in(4, 1)}) || f[1] != (Finding{2, Short, ft(6, 1) - 1, ft(6, 1)}) {
		t.Errorf("%+v", f)
	}
}

// Values out of bounds are refused, all of them by name.
func TestFaults(t *testing.T) {
	good := func() Pack { return Pack{Thickness: unit.Inch, Boards: []Board{board(in(4, 1), ft(6, 1))}} }
	for path, spoil := range map[string]func(*Pack){
		"packs[0].nominal_thickness":   func(p *Pack) { p.Thickness = 0 },
		"packs[0].boards[0].width":     func(p *Pack) { p.Boards[0].Width = -1 },
		"packs[0].boards[0].length":    func(p *Pack) { p.Boards[0].Length = MaxLength + 1 },
		"packs[0].boards[0].pieces":    func(p *Pack) { p.Boards[0].Pieces = 0 },
		"packs[0].boards":              func(p *Pack) { p.Boards = append(p.Boards, p.Boards[0]); p.Boards[1].Pieces = MaxPieces },
		"packs[0].price":               func(p *Pack) { p.Price = -1 },
		"packs[0].tally.board_feet":    func(p *Pack) { p.Tally = &Supplied{BoardFeet: -1} },
		"packs[0].tally.surfaces[0]":   func(p *Pack) { p.Tally = &Supplied{Surfaces: []Surface{{-1, 1}}} },
		"packs[0].runs[0]":             func(p *Pack) { p.Runs = []Run{{Boards: -1}} },
		"packs[0].boards[0].thickness": func(p *Pack) { p.Boards[0].Thickness = -1 },
	} {
		p := good()
		spoil(&p)
		var terms Terms
		r, err := terms.Account([]Pack{p})
		var l fault.List
		if r != nil || !errors.As(err, &l) || l[0].Path != path {
			t.Errorf("%s: %v", path, err)
		}
	}
	for path, terms := range map[string]Terms{"rule": {Rule: Rule(rules)}, "allowance": {Allowance: Allowance{Percent: MaxPercent + 1}},
		"past_packs[0]": {Past: []Past{{Tallied: new(big.Rat), Measured: new(big.Rat)}}}} {
		var l fault.List
		if _, err := terms.Account([]Pack{good()}); !errors.As(err, &l) || l[0].Path != path {
			t.Errorf("%s: %v", path, err)
		}
	}
}
