package wood_test

import (
	"math/rand/v2"
	"testing"

	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// Areas and Board.Band agree to the unit, on boards whose stations lie at any
// nanometre.
func TestAreas(t *testing.T) {
	full := 0
	for seed := range uint64(2000) {
		r := rand.New(rand.NewPCG(seed, 3))
		n, wide := 1+r.IntN(8), 1+r.Int64N(int64(wood.MaxAcross))
		b := wood.Board{Length: unit.Length(1 + r.Int64N(int64(wood.MaxLength)))}
		for i := range n {
			x := b.Length / unit.Length(n) * unit.Length(i)
			near := r.Int64N(wide/2 + 1)
			b.Stations = append(b.Stations, wood.Station{X: x + unit.Length(r.Int64N(int64(b.Length)/int64(n)+1)), Near: unit.Length(near), Far: unit.Length(near + r.Int64N(wide-near+1))})
		}
		if len(b.Faults()) > 0 {
			continue
		}
		a := wood.NewAreas(&b)
		for range 10 {
			lo := unit.Length(r.Int64N(wide+1000) - 500)
			hi := lo + unit.Length(r.Int64N(wide)/int64(1+r.IntN(50)))
			if got, want := a.Band(lo, hi), b.Band(lo, hi); got != want || a.Band(lo, hi) != want {
				t.Fatalf("seed %d: band %d to %d has %d, want %d", seed, lo, hi, got, want)
			}
			_, near, far, _ := b.Span()
			if near <= lo && lo < hi && hi <= far {
				full++
			}
		}
	}
	if full < 100 {
		t.Errorf("only %d bands were full", full)
	}
}
