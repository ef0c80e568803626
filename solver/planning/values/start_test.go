package values_test

import (
	"fmt"
	"math"
	"slices"
	"sync/atomic"
	"testing"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/planning/values"
	"github.com/ripwright/ripwright/solver/unit"
)

// many is an order of many widths, one of them wider than any board, from lots of drawn
// boards.
func many(items, lots, boards int) *values.Problem {
	r := lumber.Random(7, 0)
	p := &values.Problem{Saw: knife(), Objective: values.Face, Lost: values.Everything}
	for i := range items {
		w := unit.Length(30+i*200/items) * mm
		p.Items = append(p.Items, order.Item{ID: fmt.Sprint(i), Min: w, Max: w, Measure: order.ByLength, Required: 300_000_000})
	}
	p.Items = append(p.Items, order.Item{ID: "wide", Min: 450 * mm, Max: 450 * mm, Measure: order.ByLength, Required: 300_000_000})
	for g := range lots {
		from := lumber.Spread{Mean: unit.Length(160+20*g) * mm, Deviation: 35 * mm, Least: 80 * mm, Greatest: 400 * mm, Lengths: []lumber.LengthShare{{Length: 2440 * mm, Share: 1}}}
		lot := values.Lot{ID: fmt.Sprint(g)}
		for range boards {
			lot.Kinds = append(lot.Kinds, lumber.Kind{Board: from.Draw(r), Count: 1})
		}
		p.Lots = append(p.Lots, lot)
	}
	return p
}

// A plan comes after a small part of the searches that each item alone on each board would
// take, and knows what is impossible.
func TestPlanComesSoon(t *testing.T) {
	comesSoon(t, 60, 4, 50, 60*4*50/10)
	comesSoon(t, 300, 1, 60, 300*60/4)
}

// comesSoon checks a plan after one round and at most so many searches.
func comesSoon(t *testing.T, items, lots, boards int, most int64) {
	t.Helper()
	pl, err := values.New(many(items, lots, boards))
	if err != nil {
		t.Fatal(err)
	}
	var solved atomic.Int64
	got, err := pl.Plan(pl.Demand.Open(), values.Options{Gap: 1e-3, Boards: &solved, Rounds: 1})
	if err != nil {
		t.Fatal(err)
	}
	if n := solved.Load(); n > most {
		t.Errorf("the first plan of %d items and a round took %d searches", items, n)
	}
	if got.Cost <= got.Bound || got.Bound <= 0 {
		t.Errorf("cost %v, bound %v", got.Cost, got.Bound)
	}
	if len(got.Impossible) != 1 || got.Impossible[0] != items {
		t.Errorf("impossible: %v, want the last", got.Impossible)
	}
	fills(t, pl, got, items)
}

// Of many rows there is a plan long before the programme has one of its own. Stopped at
// any time from then on, planning fills every row, at a cost that only falls.
func TestDraft(t *testing.T) {
	const items, boards = 150, 60
	last := math.Inf(1)
	for _, passes := range []int64{8, 12, 16, 24} {
		pl, err := values.New(many(items, 2, boards))
		if err != nil {
			t.Fatal(err)
		}
		var solved atomic.Int64
		o := values.Options{Gap: 1e-3, Boards: &solved, Stop: func() bool { return solved.Load() >= passes*boards }}
		got, err := pl.Plan(pl.Demand.Open(), o)
		if err != nil {
			t.Fatal(err)
		}
		if !got.Stopped || got.Proven || got.Cost <= got.Bound || got.Cost > last*(1+1e-9) {
			t.Errorf("after %d passes: cost %v, bound %v, before %v, stopped %v", passes, got.Cost, got.Bound, last, got.Stopped)
		}
		last = got.Cost
		boards := 0.0
		for _, n := range got.Boards {
			boards += n
		}
		if boards == 0 {
			t.Errorf("after %d passes: no boards", passes)
		}
		fills(t, pl, got, items)
	}
}

// Among many rows that nothing can be made of, one that a single board gives is found,
// whichever board that is.
func TestOneOfManyRowsIsPossible(t *testing.T) {
	const boards = 10
	for wide := range boards {
		p := many(0, 0, 0)
		for i := range 99 {
			w := unit.Length(451+i) * mm
			p.Items = append(p.Items, order.Item{ID: fmt.Sprint(i), Min: w, Max: w, Measure: order.ByLength, Required: 300_000_000})
		}
		p.Items[wide].Min, p.Items[wide].Max = 300*mm, 300*mm
		r, lot := lumber.Random(7, 0), values.Lot{ID: "one"}
		for i := range boards {
			mean := unit.Length(200)
			if i == wide {
				mean = 320
			}
			from := lumber.Spread{Mean: mean * mm, Deviation: mm, Least: (mean - 5) * mm, Greatest: (mean + 5) * mm, Lengths: []lumber.LengthShare{{Length: 2440 * mm, Share: 1}}}
			lot.Kinds = append(lot.Kinds, lumber.Kind{Board: from.Draw(r), Count: 1})
		}
		p.Lots = []values.Lot{lot}
		pl, err := values.New(p)
		if err != nil {
			t.Fatal(err)
		}
		got, err := pl.Plan(pl.Demand.Open(), values.Options{Gap: 1e-3, Rounds: 1})
		if err != nil {
			t.Fatal(err)
		}
		if len(got.Impossible) != 99 || slices.Contains(got.Impossible, wide) {
			t.Errorf("board %d gives row %d; impossible are %v", wide, wide, got.Impossible)
		}
	}
}

// A draft takes no more of a limited lot than there is.
func TestDraftFromLimitedLots(t *testing.T) {
	const items = 100
	p := many(items, 3, 40)
	p.Lots[0].Limited, p.Lots[0].Most = true, 300
	p.Lots[2].Limited, p.Lots[2].Most = true, 300
	pl, err := values.New(p)
	if err != nil {
		t.Fatal(err)
	}
	got, err := pl.Plan(pl.Demand.Open(), values.Options{Gap: 1e-3, Rounds: 1})
	if err != nil {
		t.Fatal(err)
	}
	if got.Short || got.Cost <= got.Bound {
		t.Errorf("short %v, cost %v, bound %v", got.Short, got.Cost, got.Bound)
	}
	for _, g := range []int{0, 2} {
		if got.Boards[g] > 300*(1+1e-5) {
			t.Errorf("lot %d: %v boards", g, got.Boards[g])
		}
	}
	fills(t, pl, got, items)
}

// fills checks that a plan makes what is open of the first rows, no less and no more.
func fills(t *testing.T, pl *values.Planner, plan *values.Plan, rows int) {
	t.Helper()
	for k, made := range totals(pl.Makes(plan))[:rows] {
		if open := pl.Demand.Rows[k].Units(pl.Demand.Open()[k]); made < open*(1-1e-6) || made > open*(1+1e-6) {
			t.Errorf("row %d: %v is made of %v", k, made, open)
		}
	}
}

// totals adds up what lots make of each row.
func totals(makes [][]float64) []float64 {
	out := make([]float64, len(makes[0]))
	for _, lot := range makes {
		for k, m := range lot {
			out[k] += m
		}
	}
	return out
}

// A planner that has planned with all lots can do without the first ones: it costs what it
// costs a planner that never had them.
func TestPlansWithoutLots(t *testing.T) {
	const lots = 3
	p := func() *values.Problem { return many(12, lots, 10) }
	pl, err := values.New(p())
	if err != nil {
		t.Fatal(err)
	}
	o := values.Options{Gap: 1e-6}
	if _, err := pl.Plan(pl.Demand.Open(), o); err != nil {
		t.Fatal(err)
	}
	for left := range lots - 1 {
		pl.Limit(left, true, 0)
		got, err := pl.Plan(pl.Demand.Open(), o)
		if err != nil {
			t.Fatal(err)
		}
		q := p()
		q.Lots = q.Lots[left+1:]
		want := plan(t, q, o)
		if got.Short || math.Abs(got.Cost/want.Cost-1) > 1e-5 || slices.Max(got.Boards[:left+1]) > 1e-6 {
			t.Errorf("without %d lots: cost %v, want %v; boards %v, short %v", left+1, got.Cost, want.Cost, got.Boards, got.Short)
		}
	}
}
