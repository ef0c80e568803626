package wire

import (
	"reflect"
	"slices"
	"testing"

	"google.golang.org/protobuf/encoding/protojson"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/testdata/cases"
)

// Requests whose answer was once a plan that was not the best and yet reported as proven.
// The plans' worths were found by trying every setting; by hand for two-fence-stops,
// whose optimum has the fence at 105 and the range in two pockets: in [3, 20], clear over
// all 2500 mm, and in [33, 50], which is clear over the last 346.666 mm. That is 17 mm x
// 2846.666 mm at 4 per m2. All its strips but the largest have 0.005893 m2, which is less
// than the 0.018844 m2 open.
func TestCasesOnceWrong(t *testing.T) {
	want := map[string]struct {
		worth float64
		last  []int // items by pocket of the last plan asked for
	}{
		"two-fence-stops":       {0.193573288, []int{0, rip.None, 0}},
		"five-blades-five-caps": {0.117141934, []int{rip.None, rip.None, 0, 0}},
		"idle-blade-by-a-knot":  {0.0163499875, []int{0, rip.None, 0}},
		"idle-blade-skewed":     {0.03652, []int{0, rip.None, 0}},
		"equal-runner-up":       {0.19276589904, []int{1, 1, rip.None, 1}}, // and not item 1, none, 1, 1
	}
	all, err := cases.Small()
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range all {
		var m ripwrightv1.SolveBoardRequest
		if err := protojson.Unmarshal(c.JSON, &m); err != nil {
			t.Fatalf("%s: %v", c.Name, err)
		}
		j, err := Solve(&m, nil)
		if err != nil {
			t.Fatalf("%s: %v", c.Name, err)
		}
		// So that the solver's own tests can read the cases without the service.
		if !reflect.DeepEqual(j.Problem, c.Problem) || j.Options.RunnersUp != c.Options.RunnersUp {
			t.Errorf("%s: read as\n%+v\nand here as\n%+v", c.Name, c.Problem, j.Problem)
		}
		r, err := j.Solve()
		if err != nil {
			t.Fatalf("%s: %v", c.Name, err)
		}
		w, ok := want[c.Name]
		if !ok {
			t.Errorf("%s: this test does not know its worth", c.Name)
			continue
		}
		a := j.Solved(r, 0)
		if !a.GetProof().GetProven() || a.GetProof().GetBound() != w.worth || a.GetPlan().GetWorth() != w.worth {
			t.Errorf("%s: worth %v of %v, %v", c.Name, a.GetPlan().GetWorth(), w.worth, a.GetProof())
		}
		last := r.Best
		if n := len(r.RunnersUp); n > 0 {
			last = r.RunnersUp[n-1]
		}
		var items []int
		for _, k := range last.Pockets {
			items = append(items, k.Item)
		}
		if !slices.Equal(items, w.last) {
			t.Errorf("%s: the last plan has items %v, want %v", c.Name, items, w.last)
		}
	}
}
