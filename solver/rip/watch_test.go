package rip_test

import (
	"reflect"
	"testing"

	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/testdata/brief"
)

// Reporting the parts of a search changes nothing, counts no step twice, and no bound of
// a part lies below the best plan.
func TestWatch(t *testing.T) {
	seen := map[rip.PartKind]int{}
	each(t, 300, func(seed int64, p *rip.Problem, r *rip.Result) {
		work, most, bounds := int64(0), unit.Worth{}, 0
		watched, err := rip.Solve(p, rip.Options{Watch: func(part rip.Part) {
			seen[part.Kind]++
			work += part.Work
			if part.Work < 0 || part.Best.Cmp(r.Best.Worth) > 0 {
				t.Errorf("seed %d: %+v, and the best plan is worth %v", seed, part, r.Best.Worth.Money())
			}
			if part.Bounded {
				bounds++
				if part.Bound.Cmp(most) > 0 {
					most = part.Bound
				}
			}
		}})
		if err != nil || !reflect.DeepEqual(watched, r) {
			t.Fatalf("seed %d: watched it finds %+v, else %+v: %v", seed, watched, r, err)
		}
		if work > r.Work || work == 0 || bounds == 0 || most.Cmp(r.Best.Worth) < 0 {
			t.Errorf("seed %d: %d steps of %d, the greatest of %d bounds is %v, the best plan is worth %v", seed, work, r.Work, bounds, most.Money(), r.Best.Worth.Money())
		}
	})
	for _, kind := range []rip.PartKind{rip.Preparation, rip.Tables, rip.Intervals} {
		if seen[kind] < brief.Fewer(20) {
			t.Errorf("part %d came %d times", kind, seen[kind])
		}
	}
}
