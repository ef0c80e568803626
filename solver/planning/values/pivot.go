package values

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// pivots solves a programme, least c x with a x = b and x not below 0, by the
// revised simplex method with the inverse of the basis kept (Dantzig and
// Orchard-Hays 1954), and gives the values of the rows as well. start is a feasible
// basis. It reports false where its arithmetic fails: then the library has to.
//
// A master has few rows, those of the demand, and many policies. The library's
// method factorises a basis anew at every step, and of the dual, which alone gives
// values, the basis is as large as the policies are many.
func pivots(c []float64, a *mat.Dense, b []float64, start []int) (x, y []float64, ok bool) {
	m, n := a.Dims()
	p := &pivoter{a: a, b: b, c: c, m: m, basis: append([]int{}, start...), y: make([]float64, m), inv: mat.NewDense(m, m, nil),
		level: make([]float64, m), move: make([]float64, m), saved: make([]float64, n)}
	if !p.refresh() {
		return nil, nil, false
	}
	stuck := 0
	for step := range 40 * (m + n) {
		if step%refreshEvery == refreshEvery-1 && !p.refresh() {
			return nil, nil, false
		}
		in := p.enters(n, stuck > 2*m)
		if in < 0 { // what is said to be best is looked at again with a fresh inverse
			if !p.refresh() {
				return nil, nil, false
			}
			if in = p.enters(n, false); in < 0 {
				x = make([]float64, n)
				for i, j := range p.basis {
					x[j] = math.Max(p.level[i], 0)
				}
				return x, p.y, solves(a, b, x)
			}
		}
		out := p.leaves(in, stuck > 2*m)
		if out < 0 {
			return nil, nil, false
		}
		if p.level[out] > 1e-12 {
			stuck = 0
		} else {
			stuck++
		}
		p.exchange(in, out)
	}
	return nil, nil, false
}

// refreshEvery is how many steps the inverse is carried on.
const refreshEvery = 40

type pivoter struct {
	a     *mat.Dense
	b, c  []float64
	m     int
	basis []int
	inv   *mat.Dense
	level []float64 // of the basic columns
	y     []float64 // of the rows
	move  []float64 // by how much the levels fall for one of the column that enters
	saved []float64 // for enters
}

// refresh works the inverse out anew, and what follows from it.
func (p *pivoter) refresh() bool {
	base := mat.NewDense(p.m, p.m, nil)
	for i, j := range p.basis {
		for k := range p.m {
			base.Set(k, i, p.a.At(k, j))
		}
	}
	if p.inv.Inverse(base) != nil {
		return false
	}
	for i := range p.m {
		p.level[i] = dot(p.inv.RawRowView(i), p.b)
		if p.level[i] < -1e-9 {
			return false
		}
	}
	p.value()
	return true
}

// value works out what the rows are worth.
func (p *pivoter) value() {
	clear(p.y)
	for i, j := range p.basis {
		if p.c[j] != 0 {
			for k, v := range p.inv.RawRowView(i) {
				p.y[k] += p.c[j] * v
			}
		}
	}
}

// enters gives a column worth more than it costs, that by most, or with first the
// first of them (Bland 1977); -1 where there is none.
func (p *pivoter) enters(n int, first bool) int {
	best, at := -tolerance, -1
	saved := p.saved[:n]
	copy(saved, p.c)
	for k, y := range p.y {
		if y != 0 {
			for j, v := range p.a.RawRowView(k) {
				saved[j] -= y * v
			}
		}
	}
	for _, j := range p.basis {
		saved[j] = 0
	}
	for j, s := range saved {
		if s < best {
			best, at = s, j
			if first {
				break
			}
		}
	}
	return at
}

// leaves gives the place in the basis that column in takes: the one that comes to
// nothing soonest, of those the one with the greatest move or with first the first
// column; -1 where none does.
func (p *pivoter) leaves(in int, first bool) int {
	const least = 1e-9
	for i := range p.m {
		row, sum := p.inv.RawRowView(i), 0.0
		for k := range p.m {
			sum += row[k] * p.a.At(k, in)
		}
		p.move[i] = sum
	}
	out, ratio := -1, math.Inf(1)
	for i, v := range p.move {
		if v <= least {
			continue
		}
		r := math.Max(p.level[i], 0) / v
		switch {
		case out < 0 || r < ratio-1e-13:
			out, ratio = i, r
		case r <= ratio+1e-13 && (first && p.basis[i] < p.basis[out] || !first && v > p.move[out]):
			out, ratio = i, math.Min(r, ratio)
		}
	}
	return out
}

// exchange puts column in at place out of the basis.
func (p *pivoter) exchange(in, out int) {
	pivot := p.inv.RawRowView(out)
	for k := range pivot {
		pivot[k] /= p.move[out]
	}
	p.level[out] = math.Max(p.level[out], 0) / p.move[out]
	for i := range p.m {
		if v := p.move[i]; i != out && v != 0 {
			row := p.inv.RawRowView(i)
			for k := range row {
				row[k] -= v * pivot[k]
			}
			p.level[i] -= v * p.level[out]
		}
	}
	p.basis[out] = in
	p.value()
}
