package drift

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/ripwright/ripwright/solver/unit"
)

const mm = unit.Millimetre

// length draws how many strips a chart takes to its first turn if the mean is off by a
// number of units and errors scatter by one unit.
func length(rng *rand.Rand, r rule, off float64) int {
	var c Chart
	for n := 1; ; n++ {
		if c.add(unit.Length(math.Round((rng.NormFloat64()+off)*float64(r.unit))), r) {
			return n
		}
	}
}

// average gives the mean run length and its standard error.
func average(seed uint64, runs int, r rule, off float64) (mean, se float64) {
	rng := rand.New(rand.NewPCG(seed, 23))
	sum, squares := 0.0, 0.0
	for range runs {
		n := float64(length(rng, r, off))
		sum, squares = sum+n, squares+n*n
	}
	mean = sum / float64(runs)
	return mean, math.Sqrt(max(squares/float64(runs)-mean*mean, 0) / float64(runs))
}

// The average run lengths of the chart are those of the published tables for both sides,
// k = 1/2, errors not bounded.
//
// h = 4: J. M. Lucas, R. B. Crosier, Fast Initial Response for CUSUM Quality-Control
// Schemes, Technometrics 24 (1982), table 1, read in the examples of the R package spc.
// h = 5: D. C. Montgomery, Introduction to Statistical Quality Control, the table of the
// tabular CUSUM, from memory; its first three are also those of the NIST/SEMATECH
// e-Handbook of Statistical Methods, section 6.3.2.3.1, halved for both sides at 0.
func TestAverageRunLengths(t *testing.T) {
	at := []float64{0, 0.25, 0.5, 0.75, 1, 1.5, 2, 2.5, 3, 4}
	for h, table := range map[unit.Length][]float64{
		4: {168, 74.2, 26.6, 13.3, 8.38, 4.75, 3.34, 2.62, 2.19, 1.71},
		5: {465, 139, 38.0, 17.0, 10.4, 5.75, 4.01, 3.11, 2.57, 2.01},
	} {
		for i, want := range table {
			mean, se := average(uint64(h), 10_000, rule{unit: mm, decision: h * mm, most: 1000 * mm}, at[i])
			// The tables have three figures.
			if d := math.Abs(mean - want); d > 4*se+want/200 {
				t.Errorf("h = %d, %g units off: %.3f (standard error %.3f), the table has %g", h, at[i], mean, se, want)
			}
		}
	}
}

// markov is the average run length of one side by the method of D. Brook, D. A. Evans, An
// Approach to the Probability Distribution of Cusum Run Length, Biometrika 59 (1972): the
// sum takes n states, and a system of linear equations gives how long it stays among them.
func markov(h, off float64, n int) float64 {
	const k = 0.5
	phi := func(x float64) float64 { return math.Erfc(-x/math.Sqrt2) / 2 }
	clip := func(z float64) float64 { // P(z of a bounded error <= z)
		switch {
		case z >= Most:
			return 1
		case z < -Most:
			return 0
		}
		return phi(z - off)
	}
	w := 2 * h / float64(2*n-1)
	a := make([][]float64, n)
	for i := range a {
		a[i] = make([]float64, n+1)
		a[i][i], a[i][n] = 1, 1
		for j := range n {
			to := float64(j-i)*w + k
			p := clip(to + w/2)
			if j > 0 {
				p -= clip(to - w/2)
			}
			a[i][j] -= p
		}
	}
	for i := range n { // Gaussian elimination
		p := i
		for j := i; j < n; j++ {
			if math.Abs(a[j][i]) > math.Abs(a[p][i]) {
				p = j
			}
		}
		a[i], a[p] = a[p], a[i]
		for j := range n {
			if j == i {
				continue
			}
			f := a[j][i] / a[i][i]
			for c := i; c <= n; c++ {
				a[j][c] -= f * a[i][c]
			}
		}
	}
	return a[0][n] / a[0][0]
}

// The rule in use, with bounded errors, signals falsely once in about 75,000 strips and
// finds a shift of one unit after about 20: by simulation, by a Markov chain, and by the
// approximation of D. Siegmund, Sequential Analysis (1985), (exp(2 d b) - 2 d b - 1) / (2
// d^2) with d = k less the shift and b = h + 1.166, which does not bound errors.
func TestFalseAlarmsOfTheRule(t *testing.T) {
	siegmund := func(off float64) float64 {
		d, b := 0.5-off, Decision+1.166
		return (math.Exp(2*d*b) - 2*d*b - 1) / (2 * d * d)
	}
	chain := markov(Decision, 0, 300) / 2
	mean, se := average(7, 100, standard(mm), 0)
	t.Logf("false alarms once in %.0f strips (standard error %.0f), by a Markov chain %.0f, by Siegmund %.0f", mean, se, chain, siegmund(0)/2)
	if math.Abs(mean-chain) > 4*se {
		t.Errorf("once in %.0f strips (standard error %.0f), by a Markov chain %.0f", mean, se, chain)
	}
	if r := chain / (siegmund(0) / 2); r < 1 || r > 1.4 { // bounded errors signal falsely less often
		t.Errorf("%.3f times as seldom as by Siegmund's approximation", r)
	}
	for off, most := range map[float64]float64{1: 22, 2: 9, 4: 5.1} {
		mean, _ := average(9, 4000, standard(mm), off)
		t.Logf("%g units off: after %.1f strips, by Siegmund %.1f", off, mean, siegmund(off))
		if mean > most {
			t.Errorf("%g units off it takes %.1f strips, want %g at most", off, mean, most)
		}
	}
}
