package lumber

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// MeanFace implements Source.
func (s Listed) MeanFace() float64 {
	sum, total := 0.0, int64(0)
	for i := range s {
		sum += s[i].Board.Face().SquareMetres() * float64(s[i].Count)
		total += s[i].Count
	}
	return sum / float64(total)
}

// MeanFace implements Source.
func (t Tagged) MeanFace() float64 { return t.listed().MeanFace() }

// MeanFace implements Source. Crook and taper do not change the face, and width and
// length are drawn independently, so it is the product of their means, except for
// rounding to the grid.
func (s Spread) MeanFace() float64 {
	length, shares := 0.0, 0.0
	for _, l := range s.Lengths {
		length += l.Length.MM() / 1000 * float64(l.Share)
		shares += float64(l.Share)
	}
	return length / shares * s.meanWidth() / 1000
}

// meanWidth is the mean in mm of a normal distribution truncated at both ends: the mean
// plus the deviation times the difference of the densities at the ends over the
// probability between them (Johnson, Kotz, Balakrishnan, Continuous Univariate
// Distributions, volume 1, 1994, section 13.10; from memory). A width still outside after
// mostDraws draws is replaced by the nearer end.
func (s Spread) meanWidth() float64 {
	mean, deviation := s.Mean.MM(), s.Deviation.MM()
	if deviation == 0 || s.Least == s.Greatest {
		return min(max(mean, s.Least.MM()), s.Greatest.MM())
	}
	n := distuv.UnitNormal
	from, to := (s.Least.MM()-mean)/deviation, (s.Greatest.MM()-mean)/deviation
	below, above := n.CDF(from), n.CDF(-to)
	within := 1 - below - above
	ends := 0.0
	if below+above > 0 {
		ends = (below*s.Least.MM() + above*s.Greatest.MM()) / (below + above)
	}
	if within <= 0 {
		return ends
	}
	outside := math.Pow(1-within, mostDraws)
	return (1-outside)*(mean+deviation*(n.Prob(from)-n.Prob(to))/within) + outside*ends
}
