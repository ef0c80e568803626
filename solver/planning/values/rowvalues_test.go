package values

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/ripwright/ripwright/testdata/brief"
)

// The rows' values prove the library's plan to be the cheapest: no policy is worth more
// than it costs, and all that is wanted is together worth what it costs. They come from
// the basis nearly always, and have the same worth as those of the dual.
func TestRowValues(t *testing.T) {
	failed, tried := 0, brief.Fewer(300)
	for seed := range uint64(tried) {
		pool, open, ceil, ends, start := masterOf(seed)
		rows, terms := len(open), len(ends)
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
		pi, mu, value, basis, err := rowValues(pool, open, ceil, start, nil, ends, nil)
		_, _, dualValue, dualErr := dual(pool, open, ceil, ends, nil)
		if err != nil || dualErr != nil || math.Abs(value-dualValue) > 1e-7*value || len(pi) != rows || len(mu) != terms {
			t.Errorf("seed %d: %v by the primal, %v by the dual: %v %v", seed, value, dualValue, err, dualErr)
		}
		// Starting from its own basis gives the same result.
		again, _, _, _, err := rowValues(pool, open, ceil, start, basis, ends, nil)
		for k := range again {
			if err != nil || math.Abs(again[k]-pi[k]) > 1e-7*math.Max(1, pi[k]) {
				t.Errorf("seed %d: %v from its basis, %v without: %v", seed, again, pi, err)
				break
			}
		}
	}
	if failed*20 > tried {
		t.Errorf("%d of %d are left to the dual", failed, tried)
	}
	t.Logf("%d of %d are left to the dual", failed, tried)
}

// after lists the terms from the given one on.
func after(term, terms int) (out []int) {
	for t := term; t < terms; t++ {
		out = append(out, t)
	}
	return out
}

// masterOf draws a programme: a policy for each row alone, as a start, and further ones.
func masterOf(seed uint64) (pool []*column, open, ceil, ends []float64, start []int) {
	r := rand.New(rand.NewPCG(seed, 3))
	rows, terms := 1+r.IntN(12), r.IntN(3)
	open, ceil, start = make([]float64, rows), make([]float64, rows), make([]int, rows)
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
	ends = make([]float64, terms)
	for i := range ends {
		ends[i] = float64(20*rows + 40*i)
	}
	return pool, open, ceil, ends, start
}

// Wherever a programme is stopped, the library ends at the next column that it reads, and
// the result is a plan for all that is wanted, if not the cheapest.
func TestStoppedProgramme(t *testing.T) {
	stopped, dearer := 0, 0
	for seed := range uint64(40) {
		pool, open, ceil, ends, start := masterOf(seed)
		best := 0.0
		for after := 1 << 20; after >= 0; after = min(after/2, 40) - 1 {
			left := after
			stop := func() bool { left--; return left < 0 }
			if _, _, _, _, err := rowValues(pool, open, ceil, start, nil, ends, stop); err != nil && !errors.Is(err, errStopped) {
				t.Fatalf("seed %d, after %d looks: %v", seed, after, err)
			} else if err != nil {
				stopped++
			}
			if left < -3*len(aparts)-3 {
				t.Errorf("seed %d, after %d looks: looked %d times more", seed, after, -left)
			}
			left = after
			x, err := primal(pool, open, start, nil, ends, stop)
			if err != nil {
				t.Fatalf("seed %d, after %d looks: %v", seed, after, err)
			}
			cost := 0.0
			made := make([]float64, len(open))
			for i, n := range x {
				cost += n * pool[i].cost
				for k := range open {
					made[k] += n * pool[i].made[k]
				}
			}
			for k := range open {
				if made[k] < open[k]*(1-1e-6) {
					t.Errorf("seed %d, after %d looks: %g made of %g", seed, after, made[k], open[k])
				}
			}
			switch {
			case best == 0:
				best = cost
			case cost < best*(1-1e-6):
				t.Errorf("seed %d, after %d looks: costs %g, the cheapest %g", seed, after, cost, best)
			case cost > best*(1+1e-6):
				dearer++
			}
		}
	}
	if stopped < 100 || dearer < 20 {
		t.Errorf("%d stopped, %d of them dearer", stopped, dearer)
	}
}
