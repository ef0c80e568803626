package quote_test

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"testing"

	"github.com/ripwright/ripwright/solver/chart"
	"github.com/ripwright/ripwright/solver/planning/quote"
	"github.com/ripwright/ripwright/testdata/brief"
)

var update = flag.Bool("update", false, "redraw the figure of intervals")

const intervalFigure = "../../../clients/interval.svg"

// The figure in the guide to quoting shows orders that were quoted and then run once
// more, on boards that the quotes did not see. Redraw it with -update, and look at it.
func TestIntervalFigure(t *testing.T) {
	brief.Skip(t)
	const orders, simulations = 20, 19
	solve := func(p *quote.Problem, runs int, seed uint64) *quote.Outcome {
		o := options(runs, seed)
		o.Values.Gap, o.Values.Rounds = 0.05, 2
		r, err := quote.Solve(p, o)
		if err != nil || r.Outcomes[0].Runs != runs || r.Outcomes[0].Unfinished > 0 {
			t.Fatalf("%v, %+v", err, r)
		}
		return &r.Outcomes[0]
	}
	money := chart.Intervals{Title: "One order: its quote, and one more run",
		Note: fmt.Sprintf("Dots: %d simulations. Bar: interval. Diamond: that run.", simulations),
		Axis: chart.Axis{Says: "cost of the lumber"}}
	all := chart.Intervals{Axis: chart.Axis{Says: "cost, in per cent of the mean quoted"}}
	inside := 0
	for n := range orders {
		p := mill(int64(8 + n))
		q := solve(p, simulations, uint64(2*n+1))
		i := chart.Interval{Name: fmt.Sprintf("order %d", n+1), Trials: q.Costs, Mean: q.Cost.Expected, Low: q.Cost.Low, High: q.Cost.High,
			Outcome: solve(p, 1, uint64(2*n+2)).Costs[0]}
		if n == 0 {
			money.Intervals = append(money.Intervals, i)
		}
		if i.Low <= i.Outcome && i.Outcome <= i.High {
			inside++
		}
		per, trials := 100/i.Mean, []float64{}
		for _, v := range i.Trials {
			trials = append(trials, v*per)
		}
		i.Trials, i.Mean, i.Low, i.High, i.Outcome = trials, 100, i.Low*per, i.High*per, i.Outcome*per
		all.Intervals = append(all.Intervals, i)
	}
	all.Title = fmt.Sprintf("%d orders: %d lie within their intervals", orders, inside)
	all.Note = "Of many, nine in ten do. An empty diamond lies outside."
	// At a level of 0.9, fewer than 14 of 20 lie inside in one case of 400.
	if inside < 14 {
		t.Errorf("%d of %d lie inside", inside, orders)
	}
	now := chart.Draw("What a quote's interval means", money, all)
	if *update {
		if err := os.WriteFile(intervalFigure, now, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if kept, err := os.ReadFile(intervalFigure); err != nil || !bytes.Equal(kept, now) {
		t.Errorf("%s shows other orders (%v); redraw it with -update and look at it", intervalFigure, err)
	}
}
