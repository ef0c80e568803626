package rip_test

import (
	"testing"

	"github.com/ripwright/ripwright/solver/internal/agree"
	"github.com/ripwright/ripwright/solver/internal/drawn"
	"github.com/ripwright/ripwright/solver/internal/oracle"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/testdata/brief"
)

// spoilt are the search options of these tests.
var spoilt = agree.Under(rip.Spoilt(rip.Options{}))

// tollsAlone bounds caps by tolls alone.
var tollsAlone = agree.Under(rip.WithoutStates(rip.Options(spoilt)))

// The search agrees with trying everything on problems with every triple of features,
// also for settings that are checked and searches that a limit stops. RIPWRIGHT_BRUTE
// sets how many problems, RIPWRIGHT_SEED the first seed.
func TestBruteForce(t *testing.T) {
	early, endless, done := 0, 0, 0
	drawn.Run(t, drawn.Number(t, 3000), spoilt.All, func(x *drawn.Trial) {
		done++
		early += x.Unproven
		endless += x.Endless
	})
	if early < done/4 {
		t.Errorf("only %d searches were stopped", early)
	}
	atAnEnd(t, endless, done)
}

// atAnEnd checks that nearly every search ended within a million steps.
func atAnEnd(t *testing.T, endless, done int) {
	t.Helper()
	if endless*100 > done {
		t.Errorf("%d of %d searches had not ended after many steps", endless, done)
	}
	t.Logf("%d of %d searches had not ended after many steps", endless, done)
}

// The same with caps bounded by tolls alone.
func TestBruteForceTolls(t *testing.T) {
	brief.Skip(t)
	endless, done := 0, 0
	for _, f := range []drawn.Feature{drawn.CapLength, drawn.CapArea, drawn.CapStrips, drawn.CapPieces, drawn.CappedCuts} {
		for _, with := range []drawn.Set{0, drawn.Of(drawn.Range, drawn.FarUneven, drawn.FourBlades)} {
			drawn.Some(t, drawn.Number(t, 2_500)/25, drawn.Of(f)|with, tollsAlone.Solved, func(x *drawn.Trial) {
				done++
				endless += x.Unproven
			})
		}
	}
	atAnEnd(t, endless, done)
}

// Every valid setting of a problem is checked.
func TestBruteForceCheckAll(t *testing.T) {
	drawn.Some(t, drawn.Number(t, 6000)/30, 0, spoilt.CheckedAll)
}

// Problems that were once solved wrongly are solved, with states and with tolls alone.
func TestFound(t *testing.T) {
	try := func(t *testing.T, by agree.Under, p *oracle.Problem) {
		x := drawn.Try(p, 1)
		if x == nil {
			t.Fatal("too many plans to try them all")
		}
		if err := by.All(x); err != nil || x.Endless > 0 {
			t.Errorf("%v, %d searches had not ended", err, x.Endless)
		}
	}
	drawn.Found(t, "testdata/drawn", func(t *testing.T, p *oracle.Problem) {
		try(t, spoilt, p)
		try(t, tollsAlone, p)
	})
}
