package audit_test

import (
	"math/rand/v2"
	"os"
	"strconv"
	"testing"
	"time"

	"github.com/ripwright/ripwright/solver/audit"
	"github.com/ripwright/ripwright/solver/internal/agree"
	generator "github.com/ripwright/ripwright/solver/internal/drawn"
	"github.com/ripwright/ripwright/solver/paced"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/run"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/testdata/brief"
)

func instances(usual int) int {
	if n, err := strconv.Atoi(os.Getenv("RIPWRIGHT_BRUTE")); err == nil {
		return n
	}
	return brief.Fewer(usual)
}

// drawn gives a problem of the generator.
func drawn(seed int64) *rip.Problem { return agree.Problem(generator.Draw(seed, 0)) }

// terms draws a price that matters compared with the worth of a plan; every third has
// none.
func terms(seed int64, worth unit.Worth) audit.Terms {
	r := rand.New(rand.NewPCG(uint64(seed), 7))
	if r.IntN(3) == 0 {
		return audit.Terms{}
	}
	return audit.Terms{
		Pace: run.Pace{Feed: int64(10+r.IntN(41)) * 1e9, Positioning: int64(r.IntN(100)) * 1e6,
			Handling: time.Duration(r.IntN(3000)) * time.Millisecond, Overlaps: r.IntN(2) == 0},
		Price: int64(worth.Money() * []float64{0.01, 0.1, 0.3, 1}[r.IntN(4)] * 1e9),
	}
}

// solved gives a problem and the result of the search; some searches are stopped.
func solved(t testing.TB, seed int64, p *rip.Problem) (audit.Terms, *rip.Result) {
	o := rip.Options{RunnersUp: int(seed % 4)}
	if seed%7 == 0 {
		o.Work = 1 + seed%1000
	}
	plain, err := rip.Solve(p, o)
	if err != nil {
		t.Fatalf("seed %d: %v", seed, err)
	}
	at := terms(seed, plain.Best.Worth)
	r, err := paced.Solve(p, paced.Terms{Pace: at.Pace, Price: at.Price}, o)
	if err != nil {
		t.Fatalf("seed %d: %v", seed, err)
	}
	return at, r
}

// The audit finds no difference in results of the search, on many small problems.
// RIPWRIGHT_BRUTE sets how many.
func TestNoDifference(t *testing.T) {
	done, stopped, priced := 0, 0, 0
	for seed := int64(1); done < instances(1200); seed++ {
		p := drawn(seed)
		done++
		at, r := solved(t, seed, p)
		for _, d := range audit.Result(p, at, r) {
			t.Errorf("seed %d: %v", seed, d)
		}
		if !r.Proven {
			stopped++
		}
		if at.Price > 0 {
			priced++
		}
		if t.Failed() {
			t.FailNow()
		}
	}
	if stopped*50 < done || priced*3 < done {
		t.Errorf("of %d searches %d were stopped and %d had a price", done, stopped, priced)
	}
}

// Nor does it in settings that others chose, many of which break rules.
func TestNoDifferenceInSettings(t *testing.T) {
	done, broken := 0, 0
	for seed := int64(1); done < instances(1200); seed++ {
		p := drawn(seed)
		done++
		at, r := solved(t, seed, p)
		d := rand.New(rand.NewPCG(uint64(seed), 8))
		wild := d.IntN(3) == 0
		near := func(a unit.Length) unit.Length {
			switch {
			case d.IntN(3) > 0:
				return a
			case wild:
				return a + unit.Length(d.Int64N(80)-40)*unit.Millimetre + unit.Length(d.Int64N(2000))
			}
			return a + unit.Length(d.IntN(7)-3)*p.Saw.Step
		}
		var blades []unit.Length
		for i, b := range p.Saw.Blades {
			if blades = append(blades, r.Best.Blades[i]); b.Moving || wild {
				blades[i] = near(blades[i])
			}
		}
		skew := unit.Length(0)
		if d.IntN(3) == 0 {
			skew = near(r.Best.Skew)
		}
		c, err := rip.Check(p, skew, near(r.Best.Fence), blades, rip.Options{})
		if err != nil {
			continue
		}
		for _, d := range append(audit.Checked(p, at, c, r), audit.Given(p, c)...) {
			t.Errorf("seed %d: %v", seed, d)
		}
		if len(c.Broken) > 0 {
			broken++
		}
		if t.Failed() {
			t.FailNow()
		}
	}
	if broken*10 < 2*done || broken*10 > 8*done {
		t.Errorf("%d of %d settings broke a rule", broken, done)
	}
}
