package resource_test

import (
	"math/rand/v2"
	"testing"

	"github.com/ripwright/ripwright/solver/internal/drawn"
	"github.com/ripwright/ripwright/solver/internal/search/model"
	"github.com/ripwright/ripwright/solver/internal/search/resource"
)

// States allow all strips that the caps allow, in any order and however they are
// shared between two sides.
func TestStatesAllow(t *testing.T) {
	kept, full := 0, 0
	for seed := int64(1); seed < 3000; seed++ {
		p := drawn.Draw(seed, 0)
		m := model.New(&p.Board, &p.Saw, p.Items)
		s := resource.New(m)
		r := rand.New(rand.NewPCG(uint64(seed), 2))
		for c := range m.Caps {
			for range 1 + r.IntN(4) {
				s.Keep(c, 128)
			}
		}
		if s.Count == 1 {
			continue
		}
		kept++
		sum, largest := make([]int64, m.Caps), make([]int64, m.Caps)
		left := map[int]bool{s.Count - 1: true} // states that strips so far may have left
		for range 12 {
			w := &m.Wants[r.IntN(len(m.Wants))]
			lo := m.OuterLo + r.Int64N(m.OuterHi-m.OuterLo)
			width := w.Lo + r.Int64N(w.Hi-w.Lo+1)
			c := m.Cut(w, lo, lo+width)
			if c.N == 0 || w.Cap < 0 {
				continue
			}
			v := w.Amount(width, c)
			if sum[w.Cap]+v-max(largest[w.Cap], v) >= w.Open {
				full++
				continue
			}
			sum[w.Cap], largest[w.Cap] = sum[w.Cap]+v, max(largest[w.Cap], v)
			next := map[int]bool{}
			for a := range left {
				s.After(a, w, width, c.N, func(to int) { next[to] = true })
			}
			if left = next; len(left) == 0 {
				t.Fatalf("seed %d: no state for a strip that the cap of want %d allows", seed, w.Index)
			}
		}
		for a := range left {
			found := false
			s.Splits(s.Count-1, func(x, y int) { found = found || x == a && y == s.Count-1-a })
			if !found {
				t.Fatalf("seed %d: states %d and %d are not a split", seed, a, s.Count-1-a)
			}
		}
	}
	if kept < 200 || full < 200 {
		t.Errorf("only %d with a state, %d strips beyond a cap", kept, full)
	}
}
