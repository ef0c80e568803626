package fences_test

import (
	"math"
	"os"
	"strconv"
	"testing"

	"github.com/ripwright/ripwright/solver/internal/bench/broad"
	"github.com/ripwright/ripwright/solver/internal/search/budget"
	"github.com/ripwright/ripwright/solver/internal/search/fences"
	"github.com/ripwright/ripwright/solver/internal/search/model"
	"github.com/ripwright/ripwright/testdata/brief"
)

// No score of a broad case fails to meet its bound, and with wide travels hardly any case
// is left open. RIPWRIGHT_BROAD sets the number of cases per arbor; the reasons of open
// ones are listed.
func TestBroad(t *testing.T) {
	n, work := brief.Fewer(3), int64(100_000)
	if s := os.Getenv("RIPWRIGHT_BROAD"); s != "" {
		n, _ = strconv.Atoi(s)
		work = 3_000_000
	}
	reasons := []string{"proven", "stopped", "travels", "caps", "unserved", "unmet"}
	served, wide := 0, 0
	open := map[string]map[string]int{}
	for _, a := range broad.Arbors(5) {
		for k := range n {
			c := broad.Draw(5, a, k, nil)
			p := c.Problem
			if !fences.Serves(&p.Board, &p.Saw) {
				continue
			}
			served++
			b := budget.New(budget.Limits{Work: work, Memory: 64 << 20})
			r := fences.Solve(model.New(&p.Board, &p.Saw, p.Items), b)
			why := reasons[r.Open]
			if r.Open == fences.Unmet {
				t.Errorf("%s: a score does not meet its bound", c.Name())
			}
			if c.Travel == "wide" && (r.Open == fences.Travels || r.Open == fences.Caps) {
				wide++
				t.Log(c.Name(), c.Features, why, r.States, r.Rounds, p.Board.GreatestWidth().MM())
			}
			key := a.Name + " " + c.Travel
			if open[key] == nil {
				open[key] = map[string]int{}
			}
			open[key][why]++
		}
	}
	if wide*20 > served+100 {
		t.Errorf("%d of %d left open although travels are wide", wide, served)
	}
	for k, v := range open {
		t.Log(k, v)
	}
}

// Strips that a waney edge cuts short may use less of a cap than clear ones and bring
// more: a bound by what a span brings if it is clear was once below this plan's worth,
// which the search by intervals found and rip.Check confirms.
func TestCutShortWithinCaps(t *testing.T) {
	const known = 27.485496
	a, ok := broad.Find(9301, "0:FMMMMFMMM")
	if !ok {
		t.Fatal("there is no such arbor")
	}
	p := broad.Draw(9301, a, 5, nil).Problem
	r := fences.Solve(model.New(&p.Board, &p.Saw, p.Items), budget.New(budget.Limits{}))
	if !r.Proven || r.Plan.Score.Worth.Money() < known || r.Bound.Money() < known {
		t.Errorf("proven %v, bound %v, want %v at least", r.Proven, r.Bound.Money(), known)
	}
}

// A range worth more than the widths, with a few strips still open: counting strips by
// their number alone allowed bounds of up to twice the plan. The worths are those that
// the search by intervals proved in seconds before there were parts.
func TestRangeNearlyMade(t *testing.T) {
	brief.Skip(t)
	for _, c := range []struct {
		seed   uint64
		arbor  string
		number int
		worth  float64 // 0: not known from another search
	}{
		{78, "FMMM", 37, 11.664089}, {24, "FMMMM", 109, 14.567562}, {500, "FMMM", 693, 22.443263}, {500, "MMFFMM", 535, 35.825812},
		{77, "MMMFMMM", 51, 0}, {78, "FMMMM", 21, 0}, {78, "FMMMM", 44, 0}, {24, "MFMM", 11, 0}, {24, "MMFFMM", 5, 0},
	} {
		a, ok := broad.Find(c.seed, c.arbor)
		if !ok {
			t.Fatalf("%v: there is no such arbor", c)
		}
		p := broad.Draw(c.seed, a, c.number, nil).Problem
		r := fences.Solve(model.New(&p.Board, &p.Saw, p.Items), budget.New(budget.Limits{Work: 3_000_000, Memory: 64 << 20}))
		if !r.Proven {
			t.Errorf("%v: not proven, bound %v", c, r.Bound.Money())
			continue
		}
		if v := r.Plan.Score.Worth.Money(); c.worth > 0 && math.Abs(v-c.worth) > 5e-7 {
			t.Errorf("%v: worth %v", c, v)
		}
	}
}
