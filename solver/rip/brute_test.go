package rip_test

import (
	"testing"

	"github.com/ripwright/ripwright/solver/internal/agree"
	"github.com/ripwright/ripwright/solver/internal/drawn"
	"github.com/ripwright/ripwright/solver/rip"
)

// The search agrees with trying everything on problems in which every triple of
// features comes, settings that are checked and searches that a limit stops too.
// RIPWRIGHT_BRUTE sets how many problems, RIPWRIGHT_SEED the first seed.
func TestBruteForce(t *testing.T) {
	early, done := 0, 0
	drawn.Run(t, drawn.Number(t, 3000), agree.All, func(x *drawn.Trial) {
		done++
		early += x.Count
	})
	if early < done/4 {
		t.Errorf("only %d searches were stopped", early)
	}
	t.Log(early, "searches stopped early")
}

// And where tolls alone tell the bounds of the caps, which now and then leads nowhere.
func TestBruteForceTolls(t *testing.T) {
	endless, n := 0, drawn.Number(t, 10_000)/5
	rip.WithoutStates(func() {
		for _, f := range []drawn.Feature{drawn.CapLength, drawn.CapArea, drawn.CapStrips, drawn.CapPieces, drawn.CappedCuts} {
			drawn.Some(t, n/5, drawn.Of(f), agree.SolvedOrStopped, func(x *drawn.Trial) { endless += x.Count })
		}
	})
	if endless*50 > n {
		t.Errorf("%d searches of %d were not at an end after many steps", endless, n)
	}
	t.Log(endless, "searches not at an end")
}

// Every valid setting of a problem is checked.
func TestBruteForceCheckAll(t *testing.T) {
	drawn.Some(t, drawn.Number(t, 6000)/30, 0, agree.CheckedAll)
}
