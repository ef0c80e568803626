package values

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// Limits of the pivots before the library's own.
const (
	// mostPivots is the greatest number of pivots, as a multiple of a programme's rows.
	mostPivots = 50
	// afresh is the number of pivots after which the inverse is computed afresh, since
	// rounding errors build up.
	afresh = 200
	// mostReads is how many columns the library may read, as a multiple of a programme's
	// columns: of 1,400 programmes it read more than 2 in a few, and never more than 8.
	mostReads = 20
)

// pivoted gives a basis that leaves the library little or nothing to do: it makes the
// library's pivots by the library's rule (Dantzig 1951), with an inverse that each pivot
// updates (the revised simplex method; Dantzig and Orchard-Hays 1954). The library
// factorizes the basis three times per pivot, which takes a hundred times as long at some
// hundred rows. The library still decides on the result: if arithmetic or a tie prevents
// a pivot, pivoted stops and the library continues from there.
func (p *programme) pivoted() []int {
	m, n := p.a.Dims()
	if len(p.start) != m || n <= m {
		return p.start
	}
	v := &pivots{programme: p, columns: p.sparse(), at: append([]int(nil), p.start...)}
	in := make([]bool, n)
	for _, j := range v.at {
		in[j] = true
	}
	for j, basic := range in {
		if !basic {
			v.out = append(v.out, j)
		}
	}
	v.d = make([]float64, m)
	for k := range mostPivots * m {
		if k%afresh == 0 && !v.invert() || p.stop != nil && p.stop() || !v.pivot() {
			break
		}
	}
	return v.at
}

// pivots are a basis on its way to the optimal one.
type pivots struct {
	*programme
	columns []entries
	at, out []int       // columns in the basis, and the others
	inverse [][]float64 // a row for each column of the basis
	level   []float64   // levels of the columns in the basis
	value   []float64   // values of the rows
	d       []float64   // change of the levels
}

// entries are the nonzero entries of a column.
type entries struct {
	row []int
	v   []float64
}

func (p *programme) sparse() []entries {
	m, n := p.a.Dims()
	out := make([]entries, n)
	for k := range m {
		for j, v := range p.a.RawRowView(k) {
			if v != 0 {
				out[j].row, out[j].v = append(out[j].row, k), append(out[j].v, v)
			}
		}
	}
	return out
}

func (e *entries) dot(with []float64) (sum float64) {
	for i, k := range e.row {
		sum += e.v[i] * with[k]
	}
	return sum
}

// invert computes everything from the basis. It reports false if the basis is singular or
// not feasible.
func (v *pivots) invert() bool {
	m := len(v.at)
	var inverse mat.Dense
	if inverse.Inverse(v.base(v.at).T()) != nil {
		return false
	}
	v.inverse, v.level, v.value = make([][]float64, m), make([]float64, m), make([]float64, m)
	for i, j := range v.at {
		v.inverse[i] = inverse.RawRowView(i)
		v.level[i] = dot(v.inverse[i], v.b)
		if !(v.level[i] >= 0) {
			return false
		}
		for k, w := range v.inverse[i] {
			v.value[k] += v.c[j] * w
		}
	}
	return true
}

// pivot enters the column that gains most, and removes the first that is used up. It
// reports false if no column gains, or if the step would be zero.
func (v *pivots) pivot() bool {
	enter, gain := -1, -tolerance
	for i, j := range v.out {
		if r := v.c[j] - v.columns[j].dot(v.value); r < gain {
			enter, gain = i, r
		}
	}
	if enter < 0 {
		return false
	}
	leave, most := -1, math.Inf(1)
	for i := range v.d {
		v.d[i] = v.columns[v.out[enter]].dot(v.inverse[i])
		if v.d[i] > pivotAbove && v.level[i]/v.d[i] < most {
			leave, most = i, v.level[i]/v.d[i]
		}
	}
	if leave < 0 || !(most > 0) {
		return false
	}
	row := v.inverse[leave]
	for k := range row {
		row[k] /= v.d[leave]
		v.value[k] += gain * row[k]
	}
	for i, by := range v.d {
		if i == leave || by == 0 {
			continue
		}
		for k, w := range row {
			v.inverse[i][k] -= by * w
		}
		v.level[i] = math.Max(v.level[i]-by*most, 0)
	}
	v.level[leave] = most
	v.at[leave], v.out[enter] = v.out[enter], v.at[leave]
	return true
}
