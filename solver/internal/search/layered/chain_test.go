package layered

import (
	"math/rand/v2"
	"slices"
	"testing"
)

// A chain's cost is the least over all settings, and place gives one of that cost in
// which every blade stands nearest, or farthest.
func TestChain(t *testing.T) {
	for seed := range uint64(2000) {
		r := rand.New(rand.NewPCG(seed, 1))
		step, spread := int64(1+r.IntN(3)), int64(0)
		spread = step * int64(1+r.IntN(4))
		var blades []axis
		for j := range 1 + r.IntN(3) {
			lo := step * int64(r.IntN(8)-4)
			if j > 0 {
				lo = max(lo, blades[j-1].lo+spread)
			}
			hi := lo + step*int64(r.IntN(7))
			blades = append(blades, axis{lo, hi, lo - 3 + int64(r.IntN(int(hi-lo)+7))})
		}
		for j := len(blades) - 2; j >= 0; j-- {
			blades[j].hi = min(blades[j].hi, blades[j+1].hi-spread)
		}
		apart := make([]int64, len(blades)-1)
		for j := range apart {
			apart[j] = spread
		}
		c := newChain(blades, step, apart)
		k := 1 + r.IntN(len(blades))
		a := blades[len(blades)-k].lo + step*int64(r.IntN(10)-3)
		least, nearest, farthest := far, []int64(nil), []int64(nil)
		var try func(j int, from, cost int64, at []int64)
		try = func(j int, from, cost int64, at []int64) {
			if j == len(blades) {
				if cost < least {
					least, nearest, farthest = cost, slices.Clone(at), slices.Clone(at)
				} else if cost == least {
					for i := range at {
						nearest[i], farthest[i] = min(nearest[i], at[i]), max(farthest[i], at[i])
					}
				}
				return
			}
			b := blades[j]
			for x := b.lo; x <= b.hi; x += step {
				if x >= from {
					try(j+1, x+spread, cost+max(x-b.current, b.current-x), append(at, x))
				}
			}
		}
		try(len(blades)-k, a, 0, nil)
		if got := c.cost(k, a); min(got, far) != least {
			t.Fatalf("seed %d: cost %d, want %d", seed, got, least)
		}
		if least == far {
			continue
		}
		for _, out := range []bool{false, true} {
			var got []int64
			c.place(k, a, out, func(_ int, x int64) { got = append(got, x) })
			want := nearest
			if out {
				want = farthest
			}
			if !slices.Equal(got, want) {
				t.Fatalf("seed %d, farthest %v: %v, want %v", seed, out, got, want)
			}
		}
	}
}
