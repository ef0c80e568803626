package command

import (
	"strings"
	"testing"

	"google.golang.org/protobuf/encoding/protojson"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// Instructions are kept, their cost is reported, and a mistyped one is reported by its
// flag.
func TestSolveInstructed(t *testing.T) {
	b := open(t)
	solved := func(flags ...string) (all []*ripwrightv1.SolveBoardResponse) {
		out, _ := b.run(t, 0, append(about("solve", "--json"), flags...)...)
		for _, line := range strings.Split(strings.TrimSpace(out), "\n") {
			a := &ripwrightv1.SolveBoardResponse{}
			if err := protojson.Unmarshal([]byte(line), a); err != nil {
				t.Fatal(err)
			}
			all = append(all, a)
		}
		return all
	}
	free := solved()[0]
	item := ""
	for _, k := range free.GetPlan().GetPockets() {
		if k.GetItemId() != "" {
			item = k.GetItemId()
		}
	}
	a := solved("--forbid", item, "--lock", "fence")[0]
	for _, k := range a.GetPlan().GetPockets() {
		if k.GetItemId() == item {
			t.Errorf("%s is forbidden: %v", item, a.GetPlan())
		}
	}
	if n := a.GetInstructed(); !n.GetKept() || n.GetCost() <= 0 || len(n.GetEach()) != 2 || n.GetFree().GetWorth() != free.GetProof().GetWorth() {
		t.Errorf("%v", n)
	}
	// A plan that is not to be fed does not count towards the order.
	none := solved("--least-yield", "100")
	for _, a := range none {
		if a.GetDoNotFeed().GetReason() != ripwrightv1.DoNotFeedReason_DO_NOT_FEED_REASON_LEAST_YIELD || a.GetFills()[0].GetMade().GetLengthM() != none[0].GetFills()[0].GetMade().GetLengthM() {
			t.Errorf("%v", a)
		}
	}
	for _, x := range [][]string{
		{"not a number of strips", "--force", item + "=many"},
		{`--force nosuch=1: is "nosuch", which the order does not have`, "--force", "nosuch=1"},
		{"--forbid " + item + ":", "--force", item, "--forbid", item},
		{"not an axis", "--lock", "nothing"},
		{"--lock 9:", "--lock", "9"},
		{"--lock fence=9999mm:", "--lock", "fence=9999mm"},
		{"--lock fence=0: is 0;", "--lock", "fence=0"},
		{"already locked", "--lock", "fence", "--lock", "fence"},
		{"0 to 100", "--least-yield", "101"},
	} {
		want := statusUsage
		if strings.Contains(x[0], ":") {
			want = statusInput
		}
		if _, errs := b.run(t, want, append(about("solve"), x[1:]...)...); !strings.Contains(errs, x[0]) {
			t.Errorf("%q: %q, want it to say %q", x[1:], errs, x[0])
		}
	}
}

// A line applies the operator's instructions to every board: what is forbidden is not
// made, the cost is reported, a board without such a plan is not cut, and a mistake names
// its flag.
func TestLineInstructed(t *testing.T) {
	b := open(t)
	free, forbidden := lastSummary(t, b), lastSummary(t, b, "--forbid", "rail")
	made := func(s *ripwrightv1.RunSummary) (m float64) {
		for _, i := range s.GetItems() {
			if i.GetItemId() == "rail" {
				m += i.GetLengthM()
			}
		}
		return m
	}
	if made(free) == 0 || made(forbidden) != 0 {
		t.Errorf("%g m of the rail, forbidden %g m", made(free), made(forbidden))
	}
	out, _ := b.run(t, 0, about("line", "--forbid", "rail")...)
	if !strings.Contains(out, "The instructions cost ") || !strings.Contains(out, " over 12 boards") {
		t.Error(out)
	}
	if s := lastSummary(t, b, "--least-yield", "100"); len(s.GetOutcomes()) != 1 || s.GetOutcomes()[0].GetOutcome() != ripwrightv1.CutOutcome_CUT_OUTCOME_NOT_CUT {
		t.Errorf("%v", s.GetOutcomes())
	}
	out, errs := b.run(t, statusInput, about("line", "--force", "nosuch=1")...)
	if !strings.Contains(out+errs, "--force nosuch=1: is \"nosuch\", which the order does not have") {
		t.Error(out, errs)
	}
}
