package quote

import (
	"slices"

	"gonum.org/v1/gonum/stat"
)

// leastControlled is the least number of runs for control by luck: the gain must outweigh
// the error of a regression on few points.
const leastControlled = 8

// sameLuck is the least spread of the runs' luck, as a fraction of their lumber; below it
// all boards are alike.
const sameLuck = 1e-6

// luck gives how much larger in total, in m2, the boards of each run were than the same
// number of average boards. A run's end depends on the boards that came, but not on the
// next one, so by Wald's identity the mean over all possible runs is 0 (A. Wald, On
// cumulative sums of random variables, Annals of Mathematical Statistics 15, 1944). Nil
// if it says nothing: few runs, boards all alike, lots that are not drawn at random, or
// boards set aside, whose number is not controlled but is part of the lot's.
// On orders of 24 and 71 boards of a spread it took 31 and 55 % off the variance of the
// mean number of boards. It is not used with more than one lot, since the mean of a lot
// that is hardly used could come out below 0.
func (p *Problem) luck(runs []*tally) []float64 {
	aside := slices.ContainsFunc(runs, func(t *tally) bool { return t.aside > 0 })
	if len(runs) < leastControlled || len(p.Lots) > 1 || p.Stock || aside {
		return nil
	}
	mean := p.Lots[0].From.MeanFace()
	out, drawn := make([]float64, len(runs)), 0.0
	for i, t := range runs {
		out[i] = t.drawn - mean*float64(t.boards+t.aside)
		drawn += t.drawn / float64(len(runs))
	}
	if stat.StdDev(out, nil) <= sameLuck*drawn {
		return nil
	}
	return out
}

// Controlled gives the mean of trials with their luck as a control variate: the value at
// luck 0, its expectation, of the least-squares line through the trials. If luck and
// outcome are jointly normal it is unbiased, and its variance is that of the mean times
// (1 - r^2) (n - 2) / (n - 3), r being their correlation (S. S. Lavenberg, P. D. Welch, A
// perspective on the use of control variables to increase the efficiency of Monte Carlo
// simulations, Management Science 27, 1981). It is linear in v, so means of parts add up
// to that of the whole.
func Controlled(v, luck []float64) float64 {
	without, _ := stat.LinearRegression(luck, v, nil, false)
	return without
}
