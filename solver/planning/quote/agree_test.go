package quote_test

import (
	"math"
	"testing"

	"github.com/ripwright/ripwright/solver/planning/quote"
	"github.com/ripwright/ripwright/solver/planning/values"
)

// An interval holds its own mean, however skew the trials are. In nine trials of ten these
// are 1, but their mean is above 10.
func TestIntervalHoldsItsMean(t *testing.T) {
	v := make([]float64, 40)
	for i := range v {
		v[i] = 1
		if i%10 == 0 {
			v[i] = 100
		}
	}
	for _, level := range []float64{0.5, 0.8, 0.95} {
		if i := quote.Predict(v, level); i.Low > i.Expected || i.High < i.Expected {
			t.Errorf("at %v: %+v", level, i)
		}
	}
}

// A higher level never has a narrower interval, also where the trials become too few for
// it: 39 equal trials allow 0.95, beyond which the interval is by Student's t.
func TestIntervalWidensWithLevel(t *testing.T) {
	v := make([]float64, 39)
	for i := range v {
		v[i] = float64(10 + i%2)
	}
	v[0] = 25
	last := quote.Interval{Low: 25}
	for _, level := range []float64{0.5, 0.9, 0.95, 0.951, 0.96, 0.99} {
		i := quote.Predict(v, level)
		if i.Low > last.Low || i.High < last.High {
			t.Errorf("at %v %+v, below it %+v", level, i, last)
		}
		last = i
	}
}

// The figures of a quote agree with each other: intervals hold their means, what is
// taken of the lot is what was ripped and set aside, nothing yields more than its face,
// and what was filled is full at the end of the run.
func TestFiguresAgree(t *testing.T) {
	for _, c := range []struct {
		metres int64
		lost   int64
		runs   int
		level  float64
	}{{5, values.Everything, 12, 0.5}, {5, values.Everything / 5, 12, 0.5}, {5, values.Everything / 10, 19, 0.9}, {5, values.Everything, 2, 0.99}, {70, values.Everything, 3, 0.9}} {
		p := mill(c.metres)
		p.Values.Objective, p.Values.Lost = values.Face, c.lost
		o := options(c.runs, 5)
		o.Level = c.level
		o.Policies = []quote.Policy{quote.Planned, quote.Yield}
		o.Values.Gap, o.Values.Rounds = 0.05, 2 // the values need not be optimal here
		q, err := quote.Solve(p, o)
		if err != nil {
			t.Fatal(err)
		}
		for i := range q.Outcomes {
			out := &q.Outcomes[i]
			all := map[string]quote.Interval{"boards": out.Boards, "board feet": out.BoardFeet, "face": out.Face, "cost": out.Cost, "yield": out.Yield,
				"hours": out.Hours, "shifts": out.Shifts, "aside": out.Aside, "boards of the lot": out.Lots[0].Boards, "its cost": out.Lots[0].Cost}
			for k := range out.Rows {
				all["made"], all["filled at"] = out.Rows[k].Made, out.Rows[k].FilledAt
				if end := out.Rows[k].Curve[quote.Tenths-1]; out.Rows[k].Filled == c.runs && end < 1 {
					t.Errorf("%+v: row %d is filled, yet at the end %v of it", c, k, end)
				}
			}
			for name, i := range all {
				if i.Low > i.Expected || i.High < i.Expected || i.Low < 0 {
					t.Errorf("%+v: %s %+v", c, name, i)
				}
			}
			if of, taken := out.Lots[0].Boards.Expected, out.Boards.Expected+out.Aside.Expected; math.Abs(of-taken) > 1e-9*taken {
				t.Errorf("%+v: %v boards of the lot, %v in all", c, of, taken)
			}
			if out.Yield.High > 1 {
				t.Errorf("%+v: yield %+v", c, out.Yield)
			}
		}
	}
}
