package values

import (
	"errors"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// programme is the master problem in numbers near 1.
type programme struct {
	a     *mat.Dense
	b, c  []float64
	start []int     // a feasible basis
	ask   []float64 // b without perturbation
	size  []float64 // units of boards of each column
	unit  []float64 // units of each row
	most  float64   // units of the costs
	stop  func() bool
}

// move perturbs what is wanted by up to this much.
func (p *programme) move(by float64) {
	for j := range p.b {
		p.b[j] = moved(p.ask[j], j, by)
	}
}

// written builds the programme, with what is wanted perturbed. start has for each row the
// policy that gives it and nothing else.
func written(pool []*column, open []float64, start []int, ends []float64) *programme {
	n, terms := len(pool), len(ends)
	m := len(open) + terms
	// Columns: the policies, surplus of rows, places left, surplus boards.
	a := mat.NewDense(m, n+m+terms, nil)
	b, c, ask := make([]float64, m), make([]float64, n+m+terms), make([]float64, m)
	// The unit of a policy is the number of boards that fills its row alone at the start,
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
		for _, t := range p.places {
			a.Set(len(open)+t, j, 1/size[j]/math.Max(ends[t], 1))
		}
		c[j] = p.cost / size[j] / most
	}
	for k := range open {
		a.Set(k, n+k, -1)
		ask[k], b[k] = 1, moved(1, k, apart)
		units[k] = open[k]
	}
	start = slices.Clone(start)
	for t, end := range ends {
		row, unit := len(open)+t, math.Max(end, 1)
		a.Set(row, n+row, 1)
		a.Set(row, n+m+t, -1)
		ask[row], b[row], units[row] = end/unit, moved(end/unit, row, apart), unit
		c[n+m+t] = beyond * dear * unit / most
		used := 0.0
		for k, j := range start[:len(open)] {
			if slices.Contains(pool[j].places, t) {
				used += b[k] * a.At(row, j) / a.At(k, j)
			}
		}
		if used <= b[row] {
			start = append(start, n+row)
		} else {
			start = append(start, n+m+t)
		}
	}
	return &programme{a: a, b: b, c: c, start: start, ask: ask, size: size, unit: units, most: most}
}

// basis gives the columns of the cheapest plan's basis, and the basis with a row for
// each. It reports false if the library fails or the columns cannot be identified; start
// is then the basis that the pivots reached.
func (p *programme) basis() (columns []int, base *mat.Dense, ok bool) {
	first := p.start
	p.start = p.pivoted()
	_, x, err := library(p.c, p.a, p.b, p.start, p.stop)
	if err != nil && !errors.Is(err, errStopped) {
		p.start = first
		_, x, err = library(p.c, p.a, p.b, p.start, p.stop)
	}
	if err != nil {
		return nil, nil, false
	}
	m, _ := p.a.Dims()
	for j, v := range x {
		if v != 0 {
			columns = append(columns, j)
		}
	}
	if len(columns) != m {
		return nil, nil, false
	}
	return columns, p.base(columns), true
}

// rows gives the values of the rows, which depend on what is wanted only through the
// basis, and its columns. It reports false if they do not prove optimality.
func (p *programme) rows() (y []float64, columns []int, ok bool) {
	columns, base, ok := p.basis()
	if !ok {
		return nil, nil, false
	}
	costs := mat.NewVecDense(len(columns), nil)
	for i, j := range columns {
		costs.SetVec(i, p.c[j])
	}
	var values, worth mat.VecDense
	if values.SolveVec(base, costs) != nil {
		return nil, nil, false
	}
	worth.MulVec(p.a.T(), &values)
	for j, c := range p.c {
		if !(worth.AtVec(j) <= c+paidWithin) {
			return nil, nil, false
		}
	}
	return values.RawVector().Data, columns, true
}

// plan gives the level of every column in the cheapest plan for the unperturbed demand.
// If it is stopped, it gives that of the starting basis.
func (p *programme) plan() ([]float64, error) {
	if columns, _, ok := p.basis(); ok {
		if x, ok := p.level(columns); ok {
			return x, nil
		}
	}
	x, err := simplex(p.c, p.a, p.b, p.start, p.stop) // accurate enough, and without cycling
	if errors.Is(err, errStopped) {
		if x, ok := p.level(p.start); ok {
			return x, nil
		}
	}
	return x, err
}

// level gives the level of every column for the unperturbed demand if only those of a
// basis are used. It reports false if that is not a plan.
func (p *programme) level(columns []int) ([]float64, bool) {
	base := p.base(columns)
	var level mat.VecDense
	if level.SolveVec(base.T(), mat.NewVecDense(len(columns), p.ask)) != nil {
		return nil, false
	}
	x := make([]float64, len(p.c))
	for i, j := range columns {
		x[j] = math.Max(level.AtVec(i), 0)
	}
	return x, solves(p.a, p.ask, x)
}

// base has a row for each column of a basis.
func (p *programme) base(columns []int) *mat.Dense {
	base := mat.NewDense(len(columns), len(columns), nil)
	for i, j := range columns {
		base.SetRow(i, mat.Col(nil, j, p.a))
	}
	return base
}
