package values

import (
	"errors"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
)

// tolerance of the linear programmes. Nothing rests on it but how soon the
// search ends: what is proven is proven in integers.
const tolerance = 1e-11

// errMaster is a linear programme that the library could not solve.
var errMaster = errors.New("values: the linear programme could not be solved")

// simplex has the library solve a programme from a feasible start. Policies that
// are nearly alike make bases nearly singular, and what the library then gives may
// be no solution, or not the best, so that is looked at; moved apart by a little,
// and then by a little more, the programme can be solved. It is off by no more than
// they were moved.
func simplex(c []float64, a *mat.Dense, b []float64, start []int) ([]float64, error) {
	var spare []float64
	var last error
	for _, apart := range []float64{0, 1e-9, 1e-8, 1e-7, 1e-6} {
		moved := slices.Clone(b)
		for j := range moved {
			// Parts of the golden ratio lie nowhere close together.
			_, part := math.Modf(float64(j+1) * math.Phi)
			moved[j] *= 1 + apart*part
		}
		value, x, err := lp.Simplex(c, a, moved, tolerance, start)
		switch {
		case x == nil || !solves(a, moved, x):
			last = err
		case err == nil && !math.IsNaN(value):
			return x, nil
		case spare == nil || dot(c, x) < dot(c, spare):
			spare = x // the search broke off at it
		}
	}
	if spare == nil {
		return nil, errors.Join(errMaster, last)
	}
	return spare, nil
}

func dot(a, b []float64) (sum float64) {
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}

// solves reports whether x is a solution, if not the best.
func solves(a *mat.Dense, b, x []float64) bool {
	const near = 1e-7
	var ax mat.VecDense
	ax.MulVec(a, mat.NewVecDense(len(x), x))
	for j, v := range b {
		if !(math.Abs(ax.AtVec(j)-v) <= near*math.Max(1, math.Abs(v))) {
			return false
		}
	}
	return !slices.ContainsFunc(x, func(v float64) bool { return !(v >= -near) })
}

// beyond is what a board too many in a term costs in the programme, in dearest
// boards: far more than any board saved is worth. With it there is a plan from the
// start; none that is kept has such a board, since terms are long enough.
const beyond = 1e4

// dual solves the dual of the programme over the policies known: the values pi of
// the demand's units, and mu of a place in each term, that make the demand less the
// places worth most while no policy is worth more than it and its places cost. It
// has the feasible start that the primal lacks.
//
// Row k is measured in the most it can be worth, ceil[k]: what filling it alone
// costs. All numbers are then near 1.
func dual(pool []*column, open, ceil, ends []float64) (pi, mu []float64, value float64, err error) {
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
		for t := p.term; t < terms; t++ {
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
	x, err := simplex(c, a, b, start)
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

// programme is the master written out, in numbers near 1.
type programme struct {
	a     *mat.Dense
	b, c  []float64
	start []int     // a feasible basis
	size  []float64 // what a column's boards are measured in
	unit  []float64 // what a row is measured in
	most  float64   // and costs
}

// written writes the programme out. start has for each row the policy that gives it and nothing else.
func written(pool []*column, open []float64, start []int, ends []float64) *programme {
	n, terms := len(pool), len(ends)
	m := len(open) + terms
	// Columns: the policies, what rows get too much, places left, boards too many.
	a := mat.NewDense(m, n+m+terms, nil)
	b, c := make([]float64, m), make([]float64, n+m+terms)
	// A policy is measured in as many boards as fill its row alone at the start,
	// or one row of it.
	size, units := make([]float64, n), make([]float64, m)
	most, dear := 0.0, 0.0
	for j, p := range pool {
		for k := range open {
			size[j] = math.Max(size[j], p.made[k]/open[k])
		}
		most, dear = math.Max(most, p.cost/size[j]), math.Max(dear, p.cost)
	}
	for j, p := range pool {
		for k := range open {
			a.Set(k, j, p.made[k]/open[k]/size[j])
		}
		for t := p.term; t < terms; t++ {
			a.Set(len(open)+t, j, 1/size[j]/math.Max(ends[t], 1))
		}
		c[j] = p.cost / size[j] / most
	}
	for k := range open {
		a.Set(k, n+k, -1)
		b[k] = 1
		units[k] = open[k]
	}
	start = slices.Clone(start)
	for t, end := range ends {
		row, unit := len(open)+t, math.Max(end, 1)
		a.Set(row, n+row, 1)
		a.Set(row, n+m+t, -1)
		b[row], units[row] = end/unit, unit
		c[n+m+t] = beyond * dear * unit / most
		used := 0.0
		for _, j := range start[:len(open)] {
			if pool[j].term <= t {
				used += 1 / size[j]
			}
		}
		if used <= end {
			start = append(start, n+row)
		} else {
			start = append(start, n+m+t)
		}
	}
	return &programme{a, b, c, start, size, units, most}
}

// primal solves the programme: how many boards to cut by each policy.
func primal(pool []*column, open []float64, start []int, ends []float64) ([]float64, error) {
	p := written(pool, open, start, ends)
	x, _, ok := pivots(p.c, p.a, p.b, p.start)
	if !ok {
		var err error
		if x, err = simplex(p.c, p.a, p.b, p.start); err != nil {
			return nil, err
		}
	}
	for j := range pool {
		x[j] /= p.size[j]
	}
	return x[:len(pool)], nil
}

// rowValues gives the values of the demand's units and of a place in each term that
// belong to the cheapest plan, and its cost.
func rowValues(pool []*column, open, ceil []float64, start []int, ends []float64) (pi, mu []float64, cost float64, err error) {
	p := written(pool, open, start, ends)
	_, y, ok := pivots(p.c, p.a, p.b, p.start)
	if !ok {
		return dual(pool, open, ceil, ends)
	}
	for k, v := range y {
		v *= p.most / p.unit[k]
		if k < len(open) {
			pi = append(pi, math.Max(v, 0))
			cost += pi[k] * open[k]
		} else {
			mu = append(mu, math.Max(-v, 0))
			cost += v * ends[k-len(open)]
		}
	}
	return pi, mu, cost, nil
}
