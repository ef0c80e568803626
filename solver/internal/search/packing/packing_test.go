package packing_test

import (
	"math/rand/v2"
	"testing"

	"github.com/ripwright/ripwright/solver/internal/search/packing"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/unit"
)

// A bound on the worth of a run is never below the total worth of runs within it, however
// they lie, and sometimes equals it.
func TestAtMost(t *testing.T) {
	const mm = unit.Millimetre
	met, more := 0, 0
	for seed := range uint64(2000) {
		r := rand.New(rand.NewPCG(seed, 1))
		it := order.Item{CutKerf: unit.Length(r.IntN(6)) * mm, EndTrim: unit.Length(r.IntN(4)) * mm}
		for k := range 1 + r.IntN(4) {
			c := order.Cut{Length: unit.Length(20+r.IntN(60)+k) * mm, Value: int64(r.IntN(1000)), Limited: r.IntN(2) == 0}
			if c.Limited {
				c.Required = int64(1 + r.IntN(3))
			}
			it.Cuts = append(it.Cuts, c)
		}
		board := unit.Length(50+r.IntN(300)) * mm
		c := packing.All([]order.Item{it}, board)[0]
		if c == nil {
			continue
		}
		total := int64(board / unit.Micrometre)
		run := r.Int64N(total + 1)
		sum := int64(0)
		for left := run; left > 0; { // with gaps between them or without
			part := r.Int64N(left) + 1
			sum += c.Worth(part, true)
			left -= part + r.Int64N(2)*r.Int64N(left-part+1)
		}
		switch most := c.Worth(run, false); {
		case most < sum || most < c.Worth(run, true):
			t.Fatalf("seed %d: a run of %d um is worth %d at most, but its parts %d", seed, run, most, sum)
		case most == sum && sum > 0:
			met++
		}
		if sum > c.Worth(run, true) {
			more++
		}
	}
	if met < 100 || more < 20 {
		t.Errorf("met %d times; parts worth more than the whole run %d times", met, more)
	}
}
