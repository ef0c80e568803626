package values

import (
	"math"
	"math/rand/v2"
	"testing"
)

// The rows' values prove the library's plan to be the cheapest: no policy is worth
// more than it costs, and all that is wanted together is worth what it costs. They
// come from the basis nearly always, and are worth what the dual's are.
func TestRowValues(t *testing.T) {
	failed := 0
	for seed := range uint64(300) {
		r := rand.New(rand.NewPCG(seed, 3))
		rows, terms := 1+r.IntN(12), r.IntN(3)
		var pool []*column
		open, ceil, start := make([]float64, rows), make([]float64, rows), make([]int, rows)
		for k := range rows {
			open[k] = float64(1 + r.IntN(40))
			q := &column{places: after(0, terms), cost: 0.5 + r.Float64(), made: make([]float64, rows)}
			q.made[k] = float64(1 + r.IntN(4))
			pool, start[k], ceil[k] = append(pool, q), k, open[k]/q.made[k]*q.cost
		}
		for range r.IntN(60) {
			q := &column{places: after(r.IntN(terms+1), terms), cost: 0.5 + float64(r.IntN(3))/2, made: make([]float64, rows)}
			for k := range rows {
				q.made[k] = float64(max(r.IntN(6)-3, 0))
			}
			q.made[r.IntN(rows)]++
			pool = append(pool, q)
		}
		ends := make([]float64, terms)
		for i := range ends {
			ends[i] = float64(20*rows + 40*i)
		}
		p := written(pool, open, start, ends)
		y, _, ok := p.rows()
		if !ok {
			failed++
			continue
		}
		want, err := p.plan()
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		cost := dot(p.c, want)
		if math.Abs(dot(p.ask, y)-cost) > 1e-8*cost {
			t.Errorf("seed %d: cost %v by the rows' values; the library has %v", seed, dot(p.ask, y), cost)
		}
		_, n := p.a.Dims()
		for j := range n {
			worth := 0.0
			for k := range y {
				worth += y[k] * p.a.At(k, j)
			}
			if worth > p.c[j]+1e-8 {
				t.Errorf("seed %d: column %d is worth %v and costs %v", seed, j, worth, p.c[j])
			}
		}
		pi, mu, value, basis, err := rowValues(pool, open, ceil, start, nil, ends)
		_, _, dualValue, dualErr := dual(pool, open, ceil, ends)
		if err != nil || dualErr != nil || math.Abs(value-dualValue) > 1e-7*value || len(pi) != rows || len(mu) != terms {
			t.Errorf("seed %d: %v by the primal, %v by the dual: %v %v", seed, value, dualValue, err, dualErr)
		}
		// From its own basis it comes to the same.
		again, _, _, _, err := rowValues(pool, open, ceil, start, basis, ends)
		for k := range again {
			if err != nil || math.Abs(again[k]-pi[k]) > 1e-7*math.Max(1, pi[k]) {
				t.Errorf("seed %d: %v from its basis, %v without: %v", seed, again, pi, err)
				break
			}
		}
	}
	if failed > 15 {
		t.Errorf("%d of 300 are left to the dual", failed)
	}
	t.Logf("%d of 300 are left to the dual", failed)
}

// after lists the terms from one on.
func after(term, terms int) (out []int) {
	for t := term; t < terms; t++ {
		out = append(out, t)
	}
	return out
}
