package drawn_test

import (
	"reflect"
	"testing"

	"github.com/ripwright/ripwright/solver/internal/drawn"
	"github.com/ripwright/ripwright/solver/internal/oracle"
	"github.com/ripwright/ripwright/testdata/brief"
)

// Equal seeds draw equal problems, all of them valid, that can be written and read.
func TestDraw(t *testing.T) {
	for seed := range int64(brief.Fewer(500)) {
		p := drawn.Draw(seed, 0)
		if !drawn.Valid(p) || !reflect.DeepEqual(p, drawn.Draw(seed, 0)) || !reflect.DeepEqual(p, drawn.Clone(p)) {
			t.Errorf("seed %d: not valid, or different when drawn again", seed)
		}
		q, err := drawn.ReadJSON(drawn.JSON(p))
		if err != nil || drawn.JSON(q) != drawn.JSON(p) {
			t.Errorf("seed %d: %v: %s", seed, err, drawn.JSON(p))
		}
		a, ok := oracle.Solve(p, drawn.Most)
		b, again := oracle.Solve(q, drawn.Most)
		if ok != again || ok && a.Kinds[0].String() != b.Kinds[0].String() {
			t.Errorf("seed %d: read again it has another best plan", seed)
		}
	}
}

// A problem that fails because of a few features shrinks to little more than those, and
// still fails.
func TestShrink(t *testing.T) {
	for _, want := range []drawn.Set{
		drawn.Of(drawn.CapArea, drawn.FarUneven, drawn.FenceTwo),
		drawn.Of(drawn.Crosscut, drawn.Refused, drawn.Skew),
		drawn.Of(drawn.Priced, drawn.Rerip, drawn.CurrentOff),
	} {
		fails := func(p *oracle.Problem) bool {
			a, ok := oracle.Solve(p, drawn.Most)
			return ok && drawn.Present(p, &a.Seen)&want == want
		}
		tried := 0
		for seed := int64(1); tried < brief.Fewer(3); seed++ {
			p := drawn.Draw(seed, want)
			if !fails(p) {
				continue
			}
			tried++
			small := drawn.Shrink(p, fails)
			if !fails(small) || !drawn.Valid(small) {
				t.Fatalf("seed %d: %s is not %v", seed, drawn.JSON(small), want)
			}
			if len(small.Items) > 2 || len(small.Saw.Blades) > 4 || len(small.Board.Stations) > 2 || len(small.Board.Defects) > 1 {
				t.Errorf("seed %d: for %v this is left: %s", seed, want, drawn.JSON(small))
			}
		}
	}
}

// Coverage aims at what was never drawn, and reports it.
func TestCoverage(t *testing.T) {
	c := drawn.NewCoverage()
	missing := len(c.Missing())
	s := drawn.Of(drawn.Range, drawn.CapArea, drawn.Trim)
	c.Count(s)
	if n := missing - len(c.Missing()); n != 4 { // a triple and its three pairs
		t.Errorf("%d fewer are missing", n)
	}
	c.Count(drawn.Of(drawn.NoKerf, drawn.KerfOff))
	if n := len(c.Wrong()); n != 1 {
		t.Errorf("%d excluded sets came, want 1", n)
	}
	for range 40_000 {
		if c.Target() == s {
			t.Fatal("what came is aimed at while others never did")
		}
	}
	if e := drawn.Excluded(drawn.Of(drawn.NoKerf, drawn.KerfOff)); e == "" {
		t.Error("no kerf off the step is not excluded")
	}
}
