package rip_test

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/internal/agree"
	"github.com/ripwright/ripwright/solver/internal/drawn"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
	"github.com/ripwright/ripwright/testdata/brief"
)

// each calls f with n valid random problems and their best plans, fewer under the race
// detector.
func each(t *testing.T, n int, f func(seed int64, p *rip.Problem, r *rip.Result)) {
	t.Helper()
	for seed, done := int64(1_000_000), 0; done < brief.Fewer(n); seed++ {
		p := agree.Problem(drawn.Draw(seed, 0))
		r, err := rip.Solve(p, rip.Spoilt(rip.Options{}))
		if err != nil {
			t.Fatal(err)
		}
		done++
		f(seed, p, r)
	}
}

// Every planned position is reachable, and Check agrees with the plan.
func TestPlansAreReachable(t *testing.T) {
	each(t, 2000, func(seed int64, p *rip.Problem, r *rip.Result) {
		c, err := rip.Check(p, r.Best.Skew, r.Best.Fence, r.Best.Blades, rip.Spoilt(rip.Options{}))
		if err != nil {
			t.Fatal(err)
		}
		if len(c.Broken) > 0 {
			t.Errorf("seed %d: the plan breaks %v", seed, c.Broken)
		}
		if !reflect.DeepEqual(c.Plan, r.Best) {
			t.Errorf("seed %d: checked\n%+v, planned\n%+v", seed, c.Plan, r.Best)
		}
		if c.Plan.Worth != r.Best.Worth {
			t.Errorf("seed %d: worth %v, %v when checked", seed, r.Best.Worth, c.Plan.Worth)
		}
	})
}

// Two runs give equal plans, including the account.
func TestSameAgain(t *testing.T) {
	each(t, 500, func(seed int64, p *rip.Problem, r *rip.Result) {
		again, err := rip.Solve(p, rip.Spoilt(rip.Options{}))
		if err != nil || !reflect.DeepEqual(again, r) {
			t.Errorf("seed %d: %v\n%+v\n%+v", seed, err, again, r)
		}
	})
}

// Two processes give equal plans: the test runs itself again and compares their outputs.
func TestSameInAnotherProcess(t *testing.T) {
	h := sha256.New()
	each(t, 300, func(seed int64, p *rip.Problem, _ *rip.Result) {
		r, err := rip.Solve(p, rip.Spoilt(rip.Options{RunnersUp: 2}))
		if err != nil {
			t.Fatal(err)
		}
		for _, plan := range append([]*rip.Plan{r.Best}, r.RunnersUp...) {
			fmt.Fprintln(h, seed, agree.Written(plan), plan.Account, r.Work)
		}
	})
	sum := hex.EncodeToString(h.Sum(nil))
	const child = "RIPWRIGHT_TEST_CHILD"
	if os.Getenv(child) != "" {
		fmt.Println("plans", sum)
		return
	}
	again := exec.Command(os.Args[0], "-test.run=^TestSameInAnotherProcess$", fmt.Sprint("-test.short=", testing.Short()))
	again.Env = append(os.Environ(), child+"=1")
	out, err := again.Output()
	if err != nil || !strings.Contains(string(out), "plans "+sum) {
		t.Errorf("%v: %s, want %s", err, out, sum)
	}
}

// More room or more choice never lowers the worth.
func TestMoreIsNoWorse(t *testing.T) {
	brief.Skip(t)
	each(t, 1500, func(seed int64, p *rip.Problem, r *rip.Result) {
		better := func(what string, q rip.Problem) {
			if len(q.Faults()) > 0 {
				return
			}
			s, err := rip.Solve(&q, rip.Spoilt(rip.Options{}))
			if err != nil || s.Best.Worth.Cmp(r.Best.Worth) < 0 {
				t.Errorf("seed %d, %s: %v", seed, what, err)
			}
		}
		q := *p
		q.Items = append(append([]order.Item{}, p.Items...), order.Item{ID: "more", Min: 13 * mm, Max: 13 * mm, Value: 700_000})
		better("another item", q)

		q = *p
		q.Saw.Fence.Min -= 2 * q.Saw.Step
		q.Saw.Fence.Max += 2 * q.Saw.Step
		better("a longer fence travel", q)

		q = *p
		q.Saw.Blades = append([]saw.Blade{}, p.Saw.Blades...)
		for j := range q.Saw.Blades {
			q.Saw.Blades[j].Travel.Min -= q.Saw.Step
			q.Saw.Blades[j].Travel.Max += q.Saw.Step
		}
		better("longer blade travels", q)

		if len(p.Board.Defects) > 0 {
			q = *p
			q.Items = slices.Clone(p.Items)
			for i := range q.Items {
				// A run that becomes whole may hold fewer of a length that is nearly
				// full, and uses up more of what is open.
				if len(q.Items[i].Cuts) == 0 && q.Items[i].Measure == order.Unlimited {
					q.Items[i].Accepts = []string{p.Board.Defects[0].Kind}
					q.Items[i].Accepts = append(q.Items[i].Accepts, p.Items[i].Accepts...)
				}
			}
			better("a kind of defect more accepted", q)
		}
		if q = *p; !q.Board.StraightNear {
			q.Saw.Skew += q.Saw.Step
			better("more skew", q)
		}
	})
}

// All values times 7: the worth times 7 and the same plan.
func TestScaledValues(t *testing.T) {
	each(t, 1500, func(seed int64, p *rip.Problem, r *rip.Result) {
		q := *p
		q.Saw.Rerip.Value *= 7
		q.Items = append([]order.Item{}, p.Items...)
		for i := range q.Items {
			q.Items[i].Value *= 7
			q.Items[i].Cuts = slices.Clone(q.Items[i].Cuts)
			for k := range q.Items[i].Cuts {
				q.Items[i].Cuts[k].Value *= 7
			}
		}
		s, err := rip.Solve(&q, rip.Spoilt(rip.Options{}))
		if err != nil {
			t.Fatal(err)
		}
		want := r.Best.Worth
		for range 6 {
			want = want.Add(r.Best.Worth)
		}
		if s.Best.Worth != want || !reflect.DeepEqual(s.Best.Blades, r.Best.Blades) || s.Best.Fence != r.Best.Fence {
			t.Errorf("seed %d: %v, want %v", seed, s.Best.Worth, want)
		}
	})
}

// A mirrored board on a mirrored saw gives the mirrored plan. A point y becomes -y and a
// kerf [c, c+k] becomes [-c-k, -c], so blades are shifted by the kerf; moving ones still
// stop on the step only if the kerf is a multiple of it.
func TestMirror(t *testing.T) {
	tried := 0
	each(t, 3000, func(seed int64, p *rip.Problem, r *rip.Result) {
		if p.Board.StraightNear || p.Saw.Skew > 0 { // a skew is counted from the near edge
			return
		}
		for _, b := range p.Saw.Blades {
			if b.Moving && p.Saw.Kerf%p.Saw.Step != 0 {
				return
			}
		}
		tried++
		q := *p
		q.Board.Stations = nil
		for _, s := range p.Board.Stations {
			q.Board.Stations = append(q.Board.Stations, wood.Station{X: s.X, Near: -s.Far, Far: -s.Near})
		}
		q.Board.Defects = slices.Clone(p.Board.Defects)
		for i := range q.Board.Defects {
			d := &q.Board.Defects[i]
			d.FromY, d.ToY = -d.ToY, -d.FromY
		}
		flip := func(v saw.Travel) saw.Travel { return saw.Travel{Min: -v.Max, Max: -v.Min, Current: -v.Current} }
		q.Saw.Fence = flip(p.Saw.Fence)
		q.Saw.Blades = nil
		for j := len(p.Saw.Blades) - 1; j >= 0; j-- {
			b := p.Saw.Blades[j]
			k := p.Saw.Kerf
			b.At = -b.At - k
			b.Travel = flip(b.Travel)
			b.Travel.Min, b.Travel.Max, b.Travel.Current = b.Travel.Min-k, b.Travel.Max-k, b.Travel.Current-k
			q.Saw.Blades = append(q.Saw.Blades, b)
		}
		s, err := rip.Solve(&q, rip.Spoilt(rip.Options{}))
		if err != nil || s.Best.Worth != r.Best.Worth {
			t.Errorf("seed %d: %v, %v and mirrored %v", seed, err, r.Best.Worth, s.Best.Worth)
		}
	})
	if tried < brief.Fewer(300) {
		t.Errorf("only %d problems could be mirrored", tried)
	}
}

// A search that a work limit stops gives a valid plan, a true bound and the limit's name,
// and the same again.
func TestWorkLimit(t *testing.T) {
	stopped := 0
	each(t, 800, func(seed int64, p *rip.Problem, r *rip.Result) {
		for _, work := range []int64{1, 10, 100, 1000} {
			o := rip.Spoilt(rip.Options{Work: work})
			s, err := rip.Solve(p, o)
			if err != nil {
				t.Fatal(err)
			}
			if s.Bound.Cmp(r.Best.Worth) < 0 || s.Best.Worth.Cmp(r.Best.Worth) > 0 || s.Bound.Cmp(s.Best.Worth) < 0 {
				t.Errorf("seed %d, %d steps: worth %v, bound %v, optimum %v", seed, work, s.Best.Worth, s.Bound, r.Best.Worth)
			}
			if s.Proven != (s.EndedBy == rip.NoLimit) {
				t.Errorf("seed %d: proven %v, ended by %v", seed, s.Proven, s.EndedBy)
			}
			if s.Proven {
				continue
			}
			stopped++
			if s.Best.Worth.IsZero() && !r.Best.Worth.IsZero() {
				t.Errorf("seed %d, %d steps: worth nothing, optimum %v", seed, work, r.Best.Worth)
			}
			if again, err := rip.Solve(p, o); err != nil || !reflect.DeepEqual(again, s) {
				t.Errorf("seed %d: a second solve differs", seed)
			}
			if c, err := rip.Check(p, s.Best.Skew, s.Best.Fence, s.Best.Blades, rip.Spoilt(rip.Options{})); err != nil || len(c.Broken) > 0 {
				t.Errorf("seed %d: a stopped plan breaks %v", seed, c.Broken)
			}
		}
	})
	if stopped < brief.Fewer(100) {
		t.Errorf("only %d searches were stopped", stopped)
	}
}

// A step too fine for the board and the blades is refused by its field.
func TestTooFineAStep(t *testing.T) {
	p := &rip.Problem{Saw: gang(), Board: straightBoard(2000*mm, 1900*mm)}
	p.Saw.Step = mm / 100
	for i := range 20 {
		p.Saw.Blades = append(p.Saw.Blades, saw.Blade{Moving: true,
			Travel: saw.Travel{Min: 100 * mm * unit.Length(i), Max: 2000 * mm, Current: 2000 * mm}})
	}
	_, err := rip.Solve(p, rip.Spoilt(rip.Options{}))
	var l fault.List
	if !errors.As(err, &l) || len(l) != 1 || l[0].Path != "saw.step_mm" {
		t.Errorf("got %v", err)
	}
}

// A floor that some plan reaches changes nothing about the plans that reach it; one that
// none reaches is reported as out of reach.
func TestFloor(t *testing.T) {
	one := unit.Worth{Lo: 1}
	tried := 0
	each(t, 600, func(seed int64, p *rip.Problem, r *rip.Result) {
		if r.Best.Worth.IsZero() {
			return
		}
		tried++
		least := r.Best.Worth
		if seed%3 == 0 {
			least = unit.Worth{Lo: 1}
		}
		got, err := rip.Solve(p, rip.Spoilt(rip.Options{Floor: least}))
		if err != nil || !got.Proven || !reflect.DeepEqual(got.Best, r.Best) || got.Bound != r.Bound {
			t.Errorf("seed %d: with a floor of %v %v worth %v, want %v (%v)", seed, least, got.Proven, got.Best.Worth, r.Best.Worth, err)
		}
		over := r.Best.Worth.Add(one)
		got, err = rip.Solve(p, rip.Spoilt(rip.Options{Floor: over}))
		if err != nil || got.Proven || got.Bound.Cmp(over) >= 0 || got.Bound.Cmp(r.Best.Worth) < 0 || got.EndedBy != rip.NoLimit {
			t.Errorf("seed %d: with a floor above every plan, bound %v, proven %v (%v)", seed, got.Bound, got.Proven, err)
		}
		if c, err := rip.Check(p, got.Best.Skew, got.Best.Fence, got.Best.Blades, rip.Spoilt(rip.Options{})); err != nil || len(c.Broken) > 0 {
			t.Errorf("seed %d: not a valid plan: %v (%v)", seed, c.Broken, err)
		}
	})
	if tried < brief.Fewer(300) {
		t.Errorf("only %d tried", tried)
	}
}
