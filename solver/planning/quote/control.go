package quote

import "gonum.org/v1/gonum/stat"

// leastControlled is of how few runs what luck brought is still taken off: what is gained
// has to outweigh that the regression is one of few points.
const leastControlled = 8

// sameLuck is how much, in parts of its lumber, runs differ by at least, or their boards
// are all alike.
const sameLuck = 1e-6

// luck gives by how much the boards of each run were larger in all than as many boards are
// on average, in m2. A run ends by what came, but does not know the next board, so by
// Wald's identity the mean over all runs that can be is 0 (A. Wald, On cumulative sums of
// random variables, Annals of Mathematical Statistics 15, 1944). Nil where it says
// nothing: few runs, boards all alike, or lots that are not drawn at random. Of more
// than one lot it is left out, since the mean of a lot that is hardly used could come
// below 0.
func (p *Problem) luck(runs []*tally) []float64 {
	if len(runs) < leastControlled || len(p.Lots) > 1 || p.Stock {
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

// Controlled gives the mean of what trials came to, less what goes with their luck: the
// mean where luck is 0, which is luck's own, by the straight line through the trials. With
// luck and outcome jointly normal it is not off on average, and its variance is that of
// the mean times (1 - r^2) (n - 2) / (n - 3), r being their correlation (S. S. Lavenberg,
// P. D. Welch, A perspective on the use of control variables to increase the efficiency of
// Monte Carlo simulations, Management Science 27, 1981). It is linear in v, so means of
// parts add up to that of the whole.
func Controlled(v, luck []float64) float64 {
	without, _ := stat.LinearRegression(luck, v, nil, false)
	return without
}
