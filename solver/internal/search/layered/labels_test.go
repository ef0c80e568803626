package layered

import (
	"math/rand/v2"
	"testing"
)

// counted is what of some strips counts towards a cap: all but the largest.
func counted(strips []int64) int64 {
	sum, largest := int64(0), int64(0)
	for _, v := range strips {
		sum, largest = sum+v, max(largest, v)
	}
	return sum - largest
}

// Strips within others leave at least as much of a cap as those, whatever follows, and no
// others are reported as within.
func TestAmountsWithin(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 1))
	draw := func(n int) (strips []int64, a Amounts) {
		for range r.IntN(n + 1) {
			v := r.Int64N(6)
			strips = append(strips, v)
			b := Amounts{}
			b[1].Sum, b[1].Largest = v, v
			a = a.Plus(&b)
		}
		return strips, a
	}
	within, not := 0, 0
	for range 3000 {
		s, a := draw(3)
		o, b := draw(3)
		worse := false
		for first := range int64(20) {
			for second := range int64(3) {
				more := []int64{first, second}
				worse = worse || counted(append(more, s...)) > counted(append(more, o...))
			}
		}
		if a.Within(&b) {
			within++
		} else {
			not++
		}
		if a.Within(&b) == worse {
			t.Fatalf("%v within %v: %v", s, o, !worse)
		}
	}
	if within < 100 || not < 100 {
		t.Errorf("only %d within, %d not", within, not)
	}
}
