package quote

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"github.com/ripwright/ripwright/solver/planning/values"
)

// outcome summarizes runs.
func outcome(p *Problem, pl *values.Planner, policy Policy, runs []*tally, level float64) Outcome {
	each := func(f func(*tally) float64) []float64 {
		v := make([]float64, len(runs))
		for i, t := range runs {
			v[i] = f(t)
		}
		return v
	}
	of := func(f func(*tally) float64) Interval { return Predict(each(f), level) }
	luck := p.luck(runs)
	controlled := func(f func(*tally) float64) Interval {
		v := each(f)
		i := Predict(v, level)
		if luck != nil {
			i.Expected = Controlled(v, luck)
		}
		return i.holding()
	}
	hours := func(t *tally) float64 { return t.busy.Hours() }
	out := Outcome{
		Policy: policy, Runs: len(runs),
		Boards:    controlled(func(t *tally) float64 { return float64(t.boards) }),
		BoardFeet: controlled(func(t *tally) float64 { return t.feet }),
		Face:      controlled(func(t *tally) float64 { return t.face }),
		Cost:      controlled(func(t *tally) float64 { return t.cost }),
		Yield:     controlled(func(t *tally) float64 { return ratio(t.strip, t.face) }),
		Hours:     controlled(hours),
		Shifts:    controlled(func(t *tally) float64 { return ratio(hours(t), p.Pace.ShiftHours) }),
		// Without control: the mean of what hardly occurs could come out below 0.
		Turned:  of(func(t *tally) float64 { return float64(t.turned) }),
		Turning: of(func(t *tally) float64 { return t.turning }),
		Aside:   of(func(t *tally) float64 { return float64(t.aside) }),
		Rerip:   of(func(t *tally) float64 { return t.again }),
		ReripWorth: of(func(t *tally) float64 {
			return t.again * float64(p.Values.Saw.Rerip.Value) / 1e6
		}),
	}
	out.Yield.High = min(out.Yield.High, 1)
	for _, t := range runs {
		out.Costs = append(out.Costs, t.cost)
		if t.unfinished {
			out.Unfinished++
		}
	}
	slices.Sort(out.Costs)
	for g := range p.Lots {
		lot := LotOutcome{
			Boards:    controlled(func(t *tally) float64 { return float64(t.lots[g].boards) }),
			BoardFeet: controlled(func(t *tally) float64 { return t.lots[g].feet }),
			Cost:      controlled(func(t *tally) float64 { return t.lots[g].cost }),
		}
		if of := &p.Values.Lots[g]; of.Limited {
			lot.Boards.High = min(lot.Boards.High, of.Most)
		}
		out.Lots = append(out.Lots, lot)
	}
	for k := range pl.Demand.Rows {
		made := each(func(t *tally) float64 { return pl.Demand.Rows[k].Units(t.made[k]) })
		row := Row{Made: Predict(made, level), FilledAt: of(func(t *tally) float64 { return float64(t.filledAt[k]) })}
		row.Made.Low = max(row.Made.Low, slices.Min(made)) // if all runs fill it, so will one more
		// Divided once at the end, since the rounded fractions of many runs could add up to
		// more than 1.
		for _, t := range runs {
			if t.filledAt[k] > 0 {
				row.Filled++
			}
			if t.byDue[k] {
				row.ByDue++
			}
			if t.last == k {
				row.HoldsOpen++
			}
			for i := range row.Curve {
				row.Curve[i] += t.curve[k][i]
			}
		}
		row.HoldsOpen /= float64(len(runs))
		row.ByDue /= float64(len(runs))
		for i := range row.Curve {
			row.Curve[i] /= float64(len(runs))
		}
		out.Rows = append(out.Rows, row)
	}
	return out
}

func ratio(a, b float64) float64 {
	if b == 0 {
		return 0
	}
	return a / b
}

// rankWithin is how far below the first rank a rank may be and still count as it: levels
// such as 0.9 have no exact float64.
const rankWithin = 1e-9

// holding gives the interval that holds its mean too: with a skew distribution, a low
// level or control by luck the mean may lie outside. That only raises the probability of
// one more run.
func (i Interval) holding() Interval {
	i.Low, i.High = min(i.Low, i.Expected), max(i.High, i.Expected)
	return i
}

// Predict gives the mean of equal trials and the interval that holds one more of them
// with probability level: of n trials, one more falls below the r-th smallest with
// probability r/(n+1), interpolated linearly between ranks. With too few trials for the
// level to be among their ranks, it is the prediction interval of a normal distribution,
// by Student's t, and at least their range, so that it never narrows as the level rises;
// for a single trial it is the trial itself. It always holds the mean.
func Predict(v []float64, level float64) Interval {
	v = slices.Clone(v)
	slices.Sort(v)
	n, mean := len(v), stat.Mean(v, nil)
	tail := (1 - level) / 2 * float64(n+1)
	if n > 1 && tail < 1-rankWithin {
		wide := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(n - 1)}.Quantile((1+level)/2) * stat.StdDev(v, nil) * math.Sqrt(1+1/float64(n))
		return Interval{Expected: mean, Low: min(max(mean-wide, 0), v[0]), High: max(mean+wide, v[n-1])}
	}
	at := func(rank float64) float64 {
		rank = min(max(rank, 1), float64(n))
		i := int(math.Floor(rank))
		if i == n {
			return v[n-1]
		}
		return v[i-1] + (rank-float64(i))*(v[i]-v[i-1])
	}
	return Interval{Expected: mean, Low: at(tail), High: at(float64(n+1) - tail)}.holding()
}
