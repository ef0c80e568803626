package values

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
)

// tolerance of the linear programmes. Nothing rests on it but how soon the
// search ends: what is proven is proven in integers.
const tolerance = 1e-11

// errMaster is a linear programme that the library could not solve.
var errMaster = errors.New("values: the linear programme could not be solved")

// dual solves the dual of the programme over the policies known: the values that
// make the demand worth most while no policy is worth more than it costs. It has
// the feasible start that the primal lacks.
//
// Row k is measured in the most it can be worth, ceil[k]: what filling it alone
// costs. All numbers are then near 1.
func dual(pool []*policy, open, ceil []float64) (pi []float64, value float64, err error) {
	m, n := len(pool), len(open)
	a := mat.NewDense(m, n+m, nil)
	b, c, start := make([]float64, m), make([]float64, n+m), make([]int, m)
	most := 0.0
	for k := range ceil {
		most = math.Max(most, ceil[k])
	}
	for j, p := range pool {
		for k := range open {
			a.Set(j, k, p.made[k]/open[k]*ceil[k]/p.cost)
		}
		a.Set(j, n+j, 1)
		b[j], start[j] = 1, n+j
	}
	for k := range open {
		c[k] = -ceil[k] / most
	}
	_, x, err := lp.Simplex(c, a, b, tolerance, start)
	if err != nil && x == nil {
		return nil, 0, errors.Join(errMaster, err)
	}
	pi = make([]float64, n)
	for k := range pi {
		v := math.Max(x[k], 0) * ceil[k]
		value += v
		pi[k] = v / open[k]
	}
	return pi, value, nil
}

// primal solves the programme itself: how many boards to cut by each policy.
// start has for each row the policy that gives it and nothing else.
func primal(pool []*policy, open []float64, start []int) ([]float64, error) {
	m, n := len(open), len(pool)
	a := mat.NewDense(m, n+m, nil)
	b, c := make([]float64, m), make([]float64, n+m)
	// A policy is measured in as many boards as fill its row alone at the start,
	// or one row of it.
	size := make([]float64, n)
	most := 0.0
	for j, p := range pool {
		for k := range open {
			size[j] = math.Max(size[j], p.made[k]/open[k])
		}
		most = math.Max(most, p.cost/size[j])
	}
	for j, p := range pool {
		for k := range open {
			a.Set(k, j, p.made[k]/open[k]/size[j])
		}
		c[j] = p.cost / size[j] / most
	}
	for k := range open {
		a.Set(k, n+k, -1)
		b[k] = 1
	}
	_, x, err := lp.Simplex(c, a, b, tolerance, start)
	if err != nil && x == nil {
		return nil, errors.Join(errMaster, err)
	}
	for j := range pool {
		x[j] /= size[j]
	}
	return x[:n], nil
}
