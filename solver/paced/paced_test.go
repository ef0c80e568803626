package paced_test

import (
	"testing"

	"github.com/ripwright/ripwright/solver/internal/agree"
	"github.com/ripwright/ripwright/solver/internal/drawn"
	"github.com/ripwright/ripwright/solver/internal/oracle"
)

// The search agrees with trying everything on the whole plan, ties and runners-up
// included, if time has a price; tests of package rip combine that with every other
// feature. RIPWRIGHT_BRUTE sets the number of problems.
func TestBruteForce(t *testing.T) {
	priced, bore := 0, 0
	drawn.Some(t, drawn.Number(t, 1500), drawn.Of(drawn.Priced), agree.Under{}.Solved, func(x *drawn.Trial) {
		if !drawn.Present(x.Problem, &x.Answer.Seen).Has(drawn.Priced) {
			return
		}
		priced++
		free := *x.Problem
		free.Price = 0
		if a, ok := oracle.Solve(&free, drawn.Most); ok && a.Kinds[0].String() != x.Answer.Kinds[0].String() {
			bore++
		}
	})
	if bore*5 < priced {
		t.Errorf("the price bore on %d of %d plans only", bore, priced)
	}
	t.Logf("the price bore on %d of %d plans", bore, priced)
}

// A search that a limit stops gives valid plans and a true bound, and the same ones
// again.
func TestStopped(t *testing.T) {
	early := 0
	n := drawn.Number(t, 1000)
	drawn.Some(t, n, drawn.Of(drawn.Priced), agree.Under{}.Stopped, func(x *drawn.Trial) { early += x.Unproven })
	if early < n/4 {
		t.Errorf("only %d searches were stopped", early)
	}
}

// A search with a known plan never ends with a worse one, with and without a price of
// time.
func TestSolveFrom(t *testing.T) {
	early := 0
	n := drawn.Number(t, 900)
	for _, want := range []drawn.Set{0, drawn.Of(drawn.Priced)} {
		drawn.Some(t, n, want, agree.Under{}.Known, func(x *drawn.Trial) { early += x.Unproven })
	}
	if early < n/10 {
		t.Errorf("only %d searches were stopped", early)
	}
}
