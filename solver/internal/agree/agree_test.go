package agree_test

import (
	"math"
	"slices"
	"testing"

	"github.com/ripwright/ripwright/solver/internal/agree"
	"github.com/ripwright/ripwright/solver/internal/drawn"
	"github.com/ripwright/ripwright/solver/internal/oracle"
	"github.com/ripwright/ripwright/testdata/brief"
	"github.com/ripwright/ripwright/testdata/cases"
)

// Worked by hand: at a fence of 105 mm the pocket from 3 to 20 mm is clear over 2500
// mm and the one from 33 to 50 over 346.666 mm, at 4 per m2, and the cap allows both.
func TestWorked(t *testing.T) {
	all, err := cases.Small()
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(all, func(c cases.Case) bool { return c.Name == "two-fence-stops" })
	a, ok := oracle.Solve(agree.Posed(&all[i].Problem), drawn.Most)
	if !ok {
		t.Fatal("too many plans")
	}
	want := 17 * 4 * (2.5 + 0.346666) / 1000
	if got, _ := a.Kinds[0].Worth().Float64(); a.Kinds[0].Fence != 105e6 || math.Abs(got/1e21-want) > 1e-12 {
		t.Errorf("%v, want a worth of %v", a.Kinds[0], want)
	}
}

// A wrong result is found out; the answer that it is compared with is changed instead of
// the result.
func TestDifferences(t *testing.T) {
	tried := map[string]int{}
	for seed := int64(1); seed < int64(brief.Fewer(400)); seed++ {
		for what, change := range map[string]func(a *oracle.Answer) bool{
			"a better plan is missed": func(a *oracle.Answer) bool {
				if len(a.Kinds) < 2 {
					return false
				}
				a.Kinds = a.Kinds[1:]
				return true
			},
			"a tie is settled wrongly": func(a *oracle.Answer) bool {
				a.Kinds[0].Travel++
				return true
			},
			"another item": func(a *oracle.Answer) bool {
				if len(a.Kinds[0].Items) == 0 {
					return false
				}
				a.Kinds[0].Items[0]++
				return true
			},
		} {
			p := drawn.Draw(seed, 0)
			p.Price = 0
			x := drawn.Try(p, seed)
			if x == nil || !change(x.Answer) {
				continue
			}
			if err := (agree.Under{}).Solved(x); err == nil && x.Unproven == 0 {
				t.Errorf("seed %d: %s, and it is not found", seed, what)
			}
			tried[what]++
		}
	}
	for what, n := range tried {
		if n < brief.Fewer(100) {
			t.Errorf("%s: only %d tried", what, n)
		}
	}
}

// A setting that is worth more than stated is found out.
func TestDifferencesOfSettings(t *testing.T) {
	for seed := int64(1); seed < int64(brief.Fewer(200)); seed++ {
		x := drawn.Try(drawn.Draw(seed, 0), seed)
		if x == nil {
			continue
		}
		for _, s := range x.Answer.Settings {
			s.Dev++
		}
		if (agree.Under{}).CheckedAll(x) == nil {
			t.Errorf("seed %d: no difference found", seed)
		}
	}
}
