package wood_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// Some of the gaps, which overlap in any way, take away the same as micrometre by
// micrometre.
func TestWithoutThose(t *testing.T) {
	for seed := range uint64(3000) {
		r := rand.New(rand.NewPCG(seed, 9))
		const long = 60
		var runs []wood.Stretch
		for x := unit.Run(r.IntN(5)); x < long-2; {
			end := min(x+1+unit.Run(r.IntN(20)), long)
			runs = append(runs, wood.Stretch{From: x, To: end})
			x = end + 1 + unit.Run(r.IntN(6))
		}
		var gaps []wood.Gap
		for range r.IntN(9) {
			from := unit.Run(r.IntN(long))
			lo := unit.Length(r.IntN(6))
			gaps = append(gaps, wood.Gap{From: from, To: from + 1 + unit.Run(r.IntN(25)), Lo: lo, Hi: lo + 1 + unit.Length(r.IntN(6))})
		}
		slices.SortStableFunc(gaps, func(a, b wood.Gap) int { return int(a.From - b.From) })
		var those []int16
		for i := range gaps {
			if r.IntN(3) > 0 {
				those = append(those, int16(i))
			}
		}
		lo := unit.Length(r.IntN(6))
		hi := lo + 1 + unit.Length(r.IntN(6))
		var free [long]bool
		for _, s := range runs {
			for x := s.From; x < s.To; x++ {
				free[x] = true
			}
		}
		for _, k := range those {
			if g := gaps[k]; g.Lo < hi && g.Hi > lo {
				for x := g.From; x < min(g.To, long); x++ {
					free[x] = false
				}
			}
		}
		var got [long]bool
		last := unit.Run(-1)
		for _, s := range wood.WithoutThose(nil, runs, gaps, those, lo, hi) {
			if s.From >= s.To || s.From < last {
				t.Fatalf("seed %d: stretch %v after %d", seed, s, last)
			}
			last = s.To
			for x := s.From; x < s.To; x++ {
				got[x] = true
			}
		}
		if got != free {
			t.Fatalf("seed %d: runs %v, gaps %v of which %v: %v", seed, runs, gaps, those, wood.WithoutThose(nil, runs, gaps, those, lo, hi))
		}
	}
}
