package rip_test

import (
	"reflect"
	"testing"

	"github.com/ripwright/ripwright/solver/internal/bench/broad"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/wood"
	"github.com/ripwright/ripwright/testdata/brief"
	"github.com/ripwright/ripwright/testdata/cases"
)

// A nearly filled panel order, on a board from which two strips can be taken: one as wide
// as the range allows, 110 mm by 2140 mm, and one that leaves less than 0.1 m2 for all
// but that. At the board's whole length that is 46.5 mm; 54 mm that leave the tapered
// edge after 7.6/8.8 of the length, 1848.181 mm, are more: 0.0998 m2. At 40 per m2 they
// are worth 13.40807, worked out by hand. A search that is stopped before it has proven
// anything still has a plan.
func TestStoppedWithoutAPlan(t *testing.T) {
	all, err := cases.Whole()
	if err != nil || len(all) == 0 {
		t.Fatal(err)
	}
	for _, c := range all {
		if c.Name != "stopped-without-a-plan" {
			continue
		}
		for _, least := range []struct {
			work  int64
			worth float64
		}{{1, 9}, {1000, 9}, {50_000, 0.97 * 13.40807}, {150_000, 13.40807}} {
			r, err := rip.Solve(&c.Problem, rip.Options{Work: least.work})
			if err != nil {
				t.Fatal(err)
			}
			if w := r.Best.Worth.Money(); w < least.worth || w > 13.40807+1e-5 {
				t.Errorf("worth %g after %d steps, wanted %g at least", w, least.work, least.worth)
			}
		}
	}
}

// At any limit, a search has a plan if any is worth something, every plan keeps the saw's
// rules, and the result is the same again.
func TestNeverEmpty(t *testing.T) {
	brief.Skip(t)
	for _, a := range broad.Arbors(3) {
		for n := range 6 {
			c := broad.Draw(3, a, n, nil)
			most, err := rip.Solve(c.Problem, rip.Options{Work: 100_000})
			if err != nil {
				t.Fatal(err)
			}
			for _, work := range []int64{1, 300, 20_000} {
				r, err := rip.Solve(c.Problem, rip.Options{Work: work})
				if err != nil {
					t.Fatal(err)
				}
				if r.Best.Worth.IsZero() && !most.Best.Worth.IsZero() {
					t.Errorf("%s: worth nothing after %d steps, %g after more", c.Name(), work, most.Best.Worth.Money())
				}
				if r.Bound.Cmp(most.Best.Worth) < 0 || most.Bound.Cmp(r.Best.Worth) < 0 {
					t.Errorf("%s: bounds %g and %g, worth %g and %g", c.Name(), r.Bound.Money(), most.Bound.Money(), r.Best.Worth.Money(), most.Best.Worth.Money())
				}
				again, err := rip.Solve(c.Problem, rip.Options{Work: work})
				if err != nil || !reflect.DeepEqual(again, r) {
					t.Errorf("%s: a second solve of %d steps differs", c.Name(), work)
				}
				set, err := rip.Check(c.Problem, r.Best.Skew, r.Best.Fence, r.Best.Blades, rip.Options{})
				if err != nil || len(set.Broken) > 0 || set.Plan.Worth.Cmp(r.Best.Worth) < 0 {
					t.Errorf("%s: after %d steps a plan worth %g breaks %v, %v", c.Name(), work, r.Best.Worth.Money(), set.Broken, err)
				}
			}
		}
	}
}

// Start heuristics offer only valid plans, on boards of every kind, and at least one for
// each board.
func TestStartersAreValid(t *testing.T) {
	for _, a := range broad.Arbors(4) {
		for n := range brief.Fewer(8) {
			c := broad.Draw(4, a, n, nil)
			s := rip.Starters(c.Problem)
			if s.Offered > s.Valid {
				t.Errorf("%s: %d plans of %d are not valid", c.Name(), s.Offered-s.Valid, s.Offered)
			}
			if s.Offered > 0 && s.Least < 0 {
				t.Errorf("%s: plans are worth less than they claim, by %d units", c.Name(), -s.Least)
			}
		}
	}
}

// A board that yields one strip at a single stop of the fence, at any limit.
func TestOneTinyStrip(t *testing.T) {
	p := &rip.Problem{Saw: gang(), Board: wood.Board{Length: 600 * mm, Stations: []wood.Station{{Near: 90 * mm, Far: 150 * mm}}}}
	p.Saw.Step, p.Saw.Trim = mm/10, 0
	p.Saw.Fence = saw.Travel{Max: 250 * mm}
	p.Saw.Blades = []saw.Blade{{At: 301 * mm}, {Moving: true, Travel: saw.Travel{Max: 900 * mm}}}
	p.Items = []order.Item{fixed("w", 60*mm)}
	if l := p.Faults(); len(l) > 0 {
		t.Fatal(l)
	}
	for _, work := range []int64{0, 1, 1000} {
		r, err := rip.Solve(p, rip.Options{Work: work})
		if err != nil {
			t.Fatal(err)
		}
		if w := r.Best.Worth.Money(); w != 0.36 {
			t.Errorf("worth %g after %d steps, wanted 0.36", w, work)
		}
	}
}

// A search that is stopped long before it has a proof has a plan worth most of the best one:
// start heuristics try several stops of the fence before they make tables.
func TestStoppedEarly(t *testing.T) {
	brief.Skip(t)
	stopped, poor := 0, 0
	for _, a := range broad.Arbors(45003) {
		for k := range 5 {
			p := broad.Draw(45003, a, k, nil).Problem
			best, err := rip.Solve(p, rip.Options{Work: 200_000})
			if err != nil {
				t.Fatal(err)
			}
			if !best.Proven || best.Work <= 6_000 {
				continue
			}
			r, err := rip.Solve(p, rip.Options{Work: 6_000})
			if err != nil {
				t.Fatal(err)
			}
			stopped++
			if r.Best.Worth.Money() < 0.8*best.Best.Worth.Money() {
				poor++
			}
		}
	}
	if t.Logf("%d stopped, %d with less than four fifths", stopped, poor); stopped < 30 || poor > stopped/20 {
		t.Errorf("%d of %d stopped searches have less than four fifths of the best worth", poor, stopped)
	}
}
