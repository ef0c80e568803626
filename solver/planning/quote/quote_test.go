package quote_test

import (
	"fmt"
	"math"
	"reflect"
	"sync/atomic"
	"testing"
	"time"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/planning/quote"
	"github.com/ripwright/ripwright/solver/planning/values"
	"github.com/ripwright/ripwright/solver/run"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
	"github.com/ripwright/ripwright/testdata/brief"
)

const mm = unit.Millimetre

// mill is an invented order on an invented gang of fixed blades.
func mill(metres int64) *quote.Problem {
	s := saw.Saw{Kerf: 4 * mm, Step: mm, Gap: 20 * mm, LeastStrip: 20 * mm, Trim: 4 * mm}
	s.Fence = saw.Travel{Max: 290 * mm}
	for _, a := range []unit.Length{120, 174, 248, 292, 386} {
		s.Blades = append(s.Blades, saw.Blade{At: a * mm})
	}
	p := &quote.Problem{Pace: quote.Pace{Pace: run.Pace{Feed: 30_000 * int64(mm), Positioning: 200 * int64(mm), Handling: 3 * time.Second}, ShiftHours: 8}}
	p.Values = values.Problem{Saw: s, Objective: values.Boards, Lost: values.Everything}
	for i, w := range []unit.Length{40, 50, 70, 90} {
		p.Values.Items = append(p.Values.Items, order.Item{ID: fmt.Sprint(w), Min: w * mm, Max: w * mm, LeastLength: 400 * mm,
			Value: int64(10-i) * 1_000_000, Measure: order.ByLength, Required: metres * int64(2+i%2) * 1_000_000})
	}
	p.Lots = []lumber.Lot{{ID: "pack", Price: 3_000_000, From: lumber.Spread{Mean: 190 * mm, Deviation: 45 * mm, Least: 90 * mm,
		Greatest: 320 * mm, Lengths: []lumber.LengthShare{{Length: 1800 * mm, Share: 1}, {Length: 2400 * mm, Share: 2}, {Length: 3600 * mm, Share: 1}},
		Thickness: 25 * mm}}}
	p.Values.Lots = []values.Lot{{ID: "pack", Price: 3_000_000, Kinds: p.Lots[0].Sample(40, 1)}}
	return p
}

func options(runs int, seed uint64) quote.Options {
	return quote.Options{Policies: []quote.Policy{quote.Planned}, Runs: runs, Level: 0.9, Seed: seed, MostBoards: 10_000,
		Values: values.Options{Gap: 1e-3}}
}

// A 90 % interval holds 85 to 95 % of 200 runs that it did not see.
func TestIntervalsCover(t *testing.T) {
	brief.Skip(t)
	p := mill(10)
	o := options(299, 1)
	o.Values.Gap, o.Values.Rounds = 0.05, 2 // the values need not be optimal here
	q, err := quote.Solve(p, o)
	if err != nil {
		t.Fatal(err)
	}
	unseen := 200
	hits := map[string]int{}
	o.Runs = 1
	for seed := range uint64(unseen) {
		o.Seed = 1000 + seed
		one, err := quote.Solve(p, o)
		if err != nil {
			t.Fatal(err)
		}
		a, b := &q.Outcomes[0], &one.Outcomes[0]
		for name, pair := range map[string][2]quote.Interval{
			"board feet": {a.BoardFeet, b.BoardFeet}, "cost": {a.Cost, b.Cost}, "hours": {a.Hours, b.Hours}, "yield": {a.Yield, b.Yield},
		} {
			if v := pair[1].Expected; v >= pair[0].Low && v <= pair[0].High {
				hits[name]++
			}
		}
	}
	t.Logf("of %d runs: %v; boards %+v", unseen, hits, q.Outcomes[0].Boards)
	for name, n := range hits {
		if n < unseen*85/100 || n > unseen*95/100 {
			t.Errorf("%s: %d of %d runs fell into the interval", name, n, unseen)
		}
	}
}

func TestSameSeedSameQuote(t *testing.T) {
	p := mill(20)
	p.Scrap = []float64{0, 0.05, 0, 0}
	o := options(max(brief.Fewer(5), 2), 7)
	o.Policies = []quote.Policy{quote.Planned, quote.Own, quote.Yield}
	o.Replan = 5
	a, err := quote.Solve(p, o)
	if err != nil {
		t.Fatal(err)
	}
	// Backwards, so that nothing depends on the order of the runs.
	o.Values.Each = func(n int, f func(int)) {
		for i := range n {
			f(n - 1 - i)
		}
	}
	b, err := quote.Solve(p, o)
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(a.Outcomes, b.Outcomes) {
		t.Error("two quotes of one seed")
	}
	for _, out := range a.Outcomes {
		if out.Boards.Expected < a.Plan.Bound*0.9 || out.Unfinished > 0 {
			t.Errorf("policy %d: %v boards against a bound of %v", out.Policy, out.Boards, a.Plan.Bound)
		}
		share := 0.0
		for k, row := range out.Rows {
			want := a.Planner.Demand.Rows[k].Units(a.Planner.Demand.Rows[k].Open)
			if k == 1 {
				want *= 1.05
			}
			if row.Made.Low < want-1e-6 || row.Curve[quote.Tenths-1] < 0.9 {
				t.Errorf("policy %d, row %d: made %+v of %v, curve %v", out.Policy, k, row.Made, want, row.Curve)
			}
			share += row.HoldsOpen
		}
		if math.Abs(share-1) > 1e-9 {
			t.Errorf("the items hold the order open in %v of the runs", share)
		}
	}
}

// What runs cost and take is the sum over their boards.
func TestPaceAndPrice(t *testing.T) {
	p := mill(10)
	q, err := quote.Solve(p, options(1, 3))
	if err != nil {
		t.Fatal(err)
	}
	out := q.Outcomes[0]
	if math.Abs(out.Cost.Expected-3*out.BoardFeet.Expected) > 1e-6*out.Cost.Expected {
		t.Errorf("%v board feet at 3 cost %v", out.BoardFeet.Expected, out.Cost.Expected)
	}
	if h := out.Hours.Expected; h <= out.Boards.Expected*3/3600 || math.Abs(out.Shifts.Expected-h/8) > 1e-12 {
		t.Errorf("%v hours, %v shifts", h, out.Shifts.Expected)
	}
	// 25 mm of 2400 x 190 mm are 0.0114 m3; 1 m3 is 423.776 board feet.
	if f := out.BoardFeet.Expected / out.Face.Expected / 0.025; math.Abs(f-423.776000657863) > 1e-6 {
		t.Errorf("%v board feet a cubic metre", f)
	}
}

// With a fifth of the cost lost, poor boards are set aside, and the lumber that is cut is
// worth it.
func TestSetAside(t *testing.T) {
	p := mill(20)
	p.Values.Objective = values.Face
	all, err := quote.Solve(p, options(3, 5))
	if err != nil {
		t.Fatal(err)
	}
	p.Values.Lost = values.Everything / 10
	some, err := quote.Solve(p, options(3, 5))
	if err != nil {
		t.Fatal(err)
	}
	if some.Outcomes[0].Aside.Expected == 0 || some.Plan.Cost > all.Plan.Cost+1e-9 {
		t.Errorf("%v set aside, cost %v against %v", some.Outcomes[0].Aside.Expected, some.Plan.Cost, all.Plan.Cost)
	}
	if some.Outcomes[0].Yield.Expected <= all.Outcomes[0].Yield.Expected {
		t.Errorf("yield %v with boards set aside, %v without", some.Outcomes[0].Yield.Expected, all.Outcomes[0].Yield.Expected)
	}
}

// If values set by hand leave an item no board, a run makes no progress: it ends long
// before MostBoards, and names the item that holds it open.
func TestStandstill(t *testing.T) {
	p := mill(1)
	// A board gives a strip of 90 mm, or one of 40 mm; the wide one has no limit.
	board := lumber.Kind{Board: wood.Board{Length: 2400 * mm, Stations: []wood.Station{{Far: 110 * mm}}}, Count: 1}
	p.Lots[0].From, p.Values.Lots[0].Kinds = lumber.Listed{board}, []lumber.Kind{board}
	p.Values.Saw.Blades = p.Values.Saw.Blades[2:]
	wide := p.Values.Items[3]
	wide.Measure, wide.Required = order.Unlimited, 0
	p.Values.Items = []order.Item{p.Values.Items[0], wide}
	o := options(2, 1)
	o.Policies = []quote.Policy{quote.Own}
	o.MostBoards = 1_000_000
	q, err := quote.Solve(p, o)
	if err != nil {
		t.Fatal(err)
	}
	out := q.Outcomes[0]
	if out.Unfinished != 2 || out.Boards.High > 600 || out.Rows[0].HoldsOpen != 1 || out.Rows[0].Made.High > 0 {
		t.Errorf("%+v", out)
	}
}

// Cut for yield alone, pieces of a length count by area, as strips do: with equal widths
// neither is cut before the other for its value.
func TestYieldCountsPiecesByArea(t *testing.T) {
	p := mill(10)
	s := &p.Values.Saw
	s.Blades = []saw.Blade{{At: 100 * mm}, {At: 154 * mm}, {At: 198 * mm}}
	s.Fence.Max = 250 * mm
	board := lumber.Kind{Board: wood.Board{Length: 2400 * mm, Stations: []wood.Station{{Far: 62 * mm}}}, Count: 1}
	p.Lots[0].From = lumber.Listed{board}
	p.Values.Lots[0].Kinds = []lumber.Kind{board}
	// One of the two fits: 50 mm, from which 2.4 m give two pieces of 1100 mm, or 40 mm.
	p.Values.Items = []order.Item{
		{ID: "pieces", Min: 50 * mm, Max: 50 * mm, Cuts: []order.Cut{{Length: 1100 * mm, Value: 1, Limited: true, Required: 20}}},
		{ID: "strip", Min: 40 * mm, Max: 40 * mm, Value: 1, Measure: order.ByLength, Required: 24_000_000},
	}
	o := options(1, 1)
	o.Policies = []quote.Policy{quote.Yield}
	q, err := quote.Solve(p, o)
	if err != nil {
		t.Fatal(err)
	}
	// 2 x 1.1 x 0.05 = 0.11 m2 are more than 2.4 x 0.04 = 0.096.
	if r := q.Outcomes[0].Rows; r[0].FilledAt.Expected != 10 || r[1].FilledAt.Expected != 20 {
		t.Errorf("%+v", r)
	}
}

// Wood worth feeding again is counted, in face and in money.
func TestRerip(t *testing.T) {
	p := mill(5)
	p.Values.Saw.Rerip = saw.Rerip{Width: 40 * mm, Value: 2_000_000}
	o := options(19, 3)
	o.Policies = []quote.Policy{quote.Own, quote.Yield}
	q, err := quote.Solve(p, o)
	if err != nil {
		t.Fatal(err)
	}
	own, yield := q.Outcomes[0], q.Outcomes[1]
	if own.Rerip.Low <= 0 || math.Abs(own.ReripWorth.Expected-2*own.Rerip.Expected) > 1e-9 || own.Rerip.High > own.Face.High*(1-own.Yield.Low) {
		t.Errorf("%+v", own)
	}
	if yield.Rerip.High != 0 {
		t.Errorf("by yield alone %+v is fed again", yield.Rerip)
	}
}

// A quote that is stopped ends before its next board.
func TestStopped(t *testing.T) {
	p := mill(20)
	o := options(50, 1)
	var polls atomic.Int64
	o.Progress = func(runs int) { polls.Store(int64(runs)) }
	o.Values.Stop = func() bool { return polls.Load() >= 2 }
	q, err := quote.Solve(p, o)
	if err != nil {
		t.Fatal(err)
	}
	if !q.Stopped || q.Outcomes[0].Runs != 2 {
		t.Errorf("stopped %v after %d runs", q.Stopped, q.Outcomes[0].Runs)
	}
}

// With fewer trials than the level needs, the interval still holds one more as often as
// it says, if they are normal; with 3 trials it is wide. The factor is Student's t for 2
// degrees of freedom, 2.920 at 95 % (standard table, from memory).
func TestPredictFew(t *testing.T) {
	got := quote.Predict([]float64{9, 10, 11}, 0.9)
	if wide := 2.920 * math.Sqrt(1+1.0/3); math.Abs(got.High-10-wide) > 2e-3 || math.Abs(10-got.Low-wide) > 2e-3 {
		t.Errorf("%+v, want 10 and %v to either side", got, wide)
	}
}

// Of 19 equal trials, one more lies between the least and the greatest with
// probability 18/20.
func TestPredict(t *testing.T) {
	v := make([]float64, 19)
	for i := range v {
		v[i] = float64((i*7)%19 + 1)
	}
	for level, want := range map[float64]quote.Interval{0.9: {Expected: 10, Low: 1, High: 19}, 0.8: {Expected: 10, Low: 2, High: 18}} {
		got := quote.Predict(v, level)
		if math.Abs(got.Expected-want.Expected)+math.Abs(got.Low-want.Low)+math.Abs(got.High-want.High) > 1e-9 {
			t.Errorf("%v: %+v", level, got)
		}
	}
}
