package turned_test

import (
	"math/rand/v2"
	"testing"

	"github.com/ripwright/ripwright/solver/internal/agree"
	"github.com/ripwright/ripwright/solver/internal/drawn"
	"github.com/ripwright/ripwright/solver/internal/oracle"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/wood"
	"github.com/ripwright/ripwright/testdata/brief"
)

// turning draws turns for a problem's saw, at costs that sometimes matter.
func turning(p *oracle.Problem, seed int64) {
	r := rand.New(rand.NewPCG(uint64(seed), 5))
	p.Saw.Turns = nil
	for _, t := range []wood.Turn{wood.EdgeOverEdge, wood.EndOverEnd, wood.EndForEnd} {
		if r.IntN(3) > 0 {
			p.Saw.Turns = append(p.Saw.Turns, saw.Turning{Turn: t, Cost: []int64{0, 0, 1, r.Int64N(2_000), r.Int64N(100_000)}[r.IntN(5)]})
		}
	}
	if len(p.Saw.Turns) == 0 {
		p.Saw.Turns = []saw.Turning{{Turn: wood.EdgeOverEdge}}
	}
}

// each draws n problems with turns, tries everything on each, and checks it.
func each(t *testing.T, n int, want drawn.Set, check drawn.Check, look func(*drawn.Trial)) {
	t.Helper()
	failed := 0
	for seed, done := drawn.From(t), 0; done < n; seed++ {
		p := drawn.Draw(seed, want)
		turning(p, seed)
		x := drawn.Try(p, seed)
		if x == nil {
			continue // too many plans
		}
		done++
		if err := check(x); err != nil {
			if drawn.Fail(t, x, check); failed > 2 {
				return
			}
			failed++
		}
		look(x)
	}
}

// The search over turns agrees with trying everything in every turn, on the whole plan,
// ties and runners-up included, with and without a price of time. RIPWRIGHT_BRUTE sets
// the number of problems; brief tests draw too few to count what
// mattered.
func TestBruteForce(t *testing.T) {
	for _, want := range []drawn.Set{0, drawn.Of(drawn.Refused), drawn.Of(drawn.Straight), drawn.Of(drawn.Skew), drawn.Of(drawn.Priced)} {
		n, turned, beside := drawn.Number(t, 120), map[wood.Turn]int{}, 0
		each(t, n, want, agree.Under{}.Solved, func(x *drawn.Trial) {
			turned[x.Answer.Kinds[0].Turn]++
			if len(x.Answer.Kinds) > 1 && x.Answer.Kinds[1].Turn != x.Answer.Kinds[0].Turn {
				beside++
			}
			if x.Problem.Board.StraightNear && x.Answer.Kinds[0].Turn.Edges() {
				t.Errorf("seed %d: a straight edge leaves the fence", x.Seed)
			}
		})
		t.Logf("with %v: %v, %d first runners-up in another turn", want, turned, beside)
		if !brief.On() && !want.Has(drawn.Straight) && (turned[wood.EndForEnd]+turned[wood.EdgeOverEdge] < n/12 || turned[wood.AsScanned] < n/12) {
			t.Errorf("with %v: turns hardly bore: %v of %d", want, turned, n)
		}
	}
}

// Settings in any turn are scored as by trying everything, and broken rules of turns are
// reported.
func TestChecked(t *testing.T) {
	each(t, drawn.Number(t, 120), 0, func(x *drawn.Trial) error { return agree.Under{}.Checked(x, 6) }, func(*drawn.Trial) {})
}

// A search that a limit stops gives valid plans and a true bound over all turns, and the
// same ones again.
func TestStopped(t *testing.T) {
	early, n := 0, drawn.Number(t, 120)
	for _, want := range []drawn.Set{0, drawn.Of(drawn.Priced)} {
		each(t, n, want, agree.Under{}.Stopped, func(x *drawn.Trial) { early += x.Unproven })
	}
	if !brief.On() && early < n/4 {
		t.Errorf("only %d searches were stopped", early)
	}
}

// If time is over before a search begins, turns are bounded by sizes alone: the plan is
// valid and the bound true for all turns.
func TestOutOfTime(t *testing.T) {
	unproven, n := 0, drawn.Number(t, 120)
	for _, want := range []drawn.Set{0, drawn.Of(drawn.Priced), drawn.Of(drawn.Skew), drawn.Of(drawn.Straight)} {
		each(t, n, want, func(x *drawn.Trial) error {
			return agree.SolvedWith(x, rip.Options{RunnersUp: 1, Stop: func() bool { return true }})
		}, func(x *drawn.Trial) { unproven += x.Unproven })
	}
	if !brief.On() && unproven < n {
		t.Errorf("only %d searches were stopped", unproven)
	}
}

// A search with a known plan, in any turn, never ends with a worse one.
func TestSolveFrom(t *testing.T) {
	early, n := 0, drawn.Number(t, 120)
	for _, want := range []drawn.Set{0, drawn.Of(drawn.Priced)} {
		each(t, n, want, agree.Under{}.Known, func(x *drawn.Trial) { early += x.Unproven })
	}
	if !brief.On() && early < n/20 {
		t.Errorf("only %d searches were stopped", early)
	}
}
