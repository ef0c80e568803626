package values

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
)

// errMaster says that the library could not solve a linear programme.
var errMaster = errors.New("values: the linear programme could not be solved")

// errStopped says that Options.Stop interrupted a linear programme.
var errStopped = errors.New("values: stopped")

// errCycles says that the library's method does not end.
var errCycles = errors.New("values: the library's pivots do not end")

// watched is a matrix that polls stop and counts columns as the library reads it, some in
// every iteration, and leaves the library by a panic.
type watched struct {
	mat.Matrix
	stop    func() bool
	left    int // entries to read until the next column
	columns int // columns that may still be read
}

// watch gives the library a matrix of which it may read mostReads times all columns.
func watch(a *mat.Dense, stop func() bool) *watched {
	_, n := a.Dims()
	return &watched{a, stop, 0, mostReads * n}
}

// At implements mat.Matrix.
func (w *watched) At(i, j int) float64 {
	if w.left--; w.left <= 0 {
		w.left, _ = w.Dims()
		if w.stop != nil && w.stop() {
			panic(errStopped)
		}
		if w.columns--; w.columns < 0 {
			panic(errCycles)
		}
	}
	return w.Matrix.At(i, j)
}

// simplex has the library solve a programme from a feasible start. Policies that are
// nearly alike make bases nearly singular, and the library's result may then be
// infeasible or not optimal, so it is checked. If it fails, the right sides are perturbed
// slightly, then slightly more; the result is off by no more than the perturbation.
func simplex(c []float64, a *mat.Dense, b []float64, start []int, stop func() bool) ([]float64, error) {
	var spare []float64
	var last error
	for _, apart := range simplexAparts {
		near := slices.Clone(b)
		for j := range near {
			near[j] = moved(near[j], j, apart)
		}
		value, x, err := library(c, a, near, start, stop)
		switch {
		case errors.Is(err, errStopped):
			return nil, err
		case x == nil || !solves(a, near, x):
			last = err
		case err == nil && !math.IsNaN(value):
			return x, nil
		case spare == nil || dot(c, x) < dot(c, spare):
			spare = x // the solution at which the search was interrupted
		}
	}
	if spare == nil {
		return nil, errors.Join(errMaster, last)
	}
	return spare, nil
}

// library is the library's own method. It panics on a start that rounding has made
// slightly infeasible.
func library(c []float64, a *mat.Dense, b []float64, start []int, stop func() bool) (value float64, x []float64, err error) {
	defer func() {
		switch p := recover(); p {
		case nil:
		case errStopped:
			value, x, err = 0, nil, errStopped
		default:
			value, x, err = 0, nil, fmt.Errorf("%v", p)
		}
	}()
	return lp.Simplex(c, watch(a, stop), b, tolerance, start)
}

// moved gives the right side of row j, increased by up to apart of it, or of 1 if it is
// less, differently for each row. The increases are drawn at random: those of a series
// have equal sums and differences, and some basis would still be degenerate.
func moved(b float64, j int, apart float64) float64 {
	part := float64(rand.NewPCG(uint64(j), 6).Uint64()>>11) / (1 << 53)
	return b + math.Max(b, 1)*apart*part
}

func dot(a, b []float64) (sum float64) {
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}

// solves reports whether x is a solution, optimal or not.
func solves(a *mat.Dense, b, x []float64) bool {
	var ax mat.VecDense
	ax.MulVec(a, mat.NewVecDense(len(x), x))
	for j, v := range b {
		if !(math.Abs(ax.AtVec(j)-v) <= solvedWithin*math.Max(1, math.Abs(v))) {
			return false
		}
	}
	return !slices.ContainsFunc(x, func(v float64) bool { return !(v >= -solvedWithin) })
}

// beyond is the penalty of a surplus board in a term, in dearest boards: far more than
// any board saved is worth. It makes a plan exist from the start; no final plan has such
// a board, since terms are long enough.
const beyond = 1e4

// dual solves the dual of the programme over the known policies: the values pi of the
// demand's units, and mu of a place in each term, that maximize the worth of the demand
// less that of the places while no policy is worth more than it and its places cost. It
// has the feasible start that the primal lacks.
//
// Row k is measured in units of the most that it can be worth, ceil[k]: the cost of
// filling it alone. All numbers are then near 1.
func dual(pool []*column, open, ceil, ends []float64, stop func() bool) (pi, mu []float64, value float64, err error) {
	n, terms := len(open), len(ends)
	m := len(pool) + terms
	a := mat.NewDense(m, n+terms+m, nil)
	b, c, start := make([]float64, m), make([]float64, n+terms+m), make([]int, m)
	most, dear := 0.0, 0.0
	for k := range ceil {
		most = math.Max(most, ceil[k])
	}
	for _, p := range pool {
		dear = math.Max(dear, p.cost)
	}
	for j := range m {
		a.Set(j, n+terms+j, 1)
		b[j], start[j] = 1, n+terms+j
	}
	for j, p := range pool {
		for k := range open {
			a.Set(j, k, p.made[k]/open[k]*ceil[k]/p.cost)
		}
		for _, t := range p.places {
			a.Set(j, n+t, -dear/p.cost)
		}
	}
	for t, end := range ends {
		a.Set(len(pool)+t, n+t, 1/beyond)
		c[n+t] = end * dear / most
	}
	for k := range open {
		c[k] = -ceil[k] / most
	}
	x, err := simplex(c, a, b, start, stop)
	if err != nil {
		return nil, nil, 0, err
	}
	pi, mu = make([]float64, n), make([]float64, terms)
	for k := range pi {
		v := math.Max(x[k], 0) * ceil[k]
		value += v
		pi[k] = v / open[k]
	}
	for t := range mu {
		mu[t] = math.Max(x[n+t], 0) * dear
		value -= mu[t] * ends[t]
	}
	return pi, mu, value, nil
}
