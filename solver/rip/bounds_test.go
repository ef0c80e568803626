package rip_test

import (
	"fmt"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/ripwright/ripwright/solver/internal/drawn"
	"github.com/ripwright/ripwright/solver/internal/oracle"
	"github.com/ripwright/ripwright/solver/internal/vary"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/testdata/brief"
	"github.com/ripwright/ripwright/testdata/cases"
)

// Every bound of the sweep over intervals of fences, for every part of a plan that the
// sweep can reach, is no lower than the best plan of which it is part: over one fence,
// over some intervals of them and over all. Dominated parts are not needed, and no part
// is pruned that leads to a plan as good as a known one. Set RIPWRIGHT_BOUNDS for more
// problems.
func TestBounds(t *testing.T) {
	boundsOf(t, 150, probe(rip.Spoilt(rip.Options{})), "quick", "dominance", "table before", "table beyond", "row before the anchor", "row of a pocket between fixed blades",
		"row of a pocket beyond a fixed blade", "row of a pocket before a fixed blade")
}

// So are the bounds if tolls stand for all caps.
func TestBoundsTolls(t *testing.T) {
	boundsOf(t, 150, probe(rip.WithoutStates(rip.Spoilt(rip.Options{}))), "tolls", "tolls over stops")
}

// The same for the levels of the ceiling, for any number of blades.
func TestBoundsCeiling(t *testing.T) {
	const whatever, each = "ceiling for any number of blades", "ceiling for each number of blades"
	o := rip.Spoilt(rip.Options{})
	boundsOf(t, 80, ceiling(o, false), whatever+", by state", "top of the "+whatever)
	boundsOf(t, 80, ceiling(o, true), each+", by state", "top of the "+each)
	o = rip.WithoutStates(o)
	boundsOf(t, 80, ceiling(o, false), whatever+", with tolls")
	boundsOf(t, 80, ceiling(o, true), each+", with tolls")
}

// The least moves of blades without a fixed one among them, as a sweep over a wider
// interval has left them, are at most those of the best plan of any fence.
func TestBoundsTrails(t *testing.T) {
	boundsOf(t, 150, func(p *rip.Problem, skew unit.Length, seed uint64) (oracle.Search, func(), error) {
		b, err := rip.NewProbeTrails(p, rip.Spoilt(rip.Options{}), skew, seed)
		if b == nil {
			return nil, nil, err
		}
		return b, b.Release, nil
	})
}

// bestOnly keeps the parts of the best plan of each fence.
func bestOnly(parts []*oracle.Part) []*oracle.Part {
	best := map[int64]*oracle.Plan{}
	for _, k := range parts {
		if b := best[k.Fence]; b == nil || k.Best.Before(b) {
			best[k.Fence] = k.Best
		}
	}
	return slices.DeleteFunc(slices.Clone(parts), func(k *oracle.Part) bool { return best[k.Fence].Before(k.Best) })
}

func ceiling(o rip.Options, exact bool) func(*rip.Problem, unit.Length, uint64) (oracle.Search, func(), error) {
	return func(p *rip.Problem, skew unit.Length, _ uint64) (oracle.Search, func(), error) {
		b, err := rip.NewProbeCeiling(p, o, skew, exact)
		if b == nil {
			return nil, nil, err
		}
		return b, b.Release, nil
	}
}

func probe(o rip.Options) func(*rip.Problem, unit.Length, uint64) (oracle.Search, func(), error) {
	return func(p *rip.Problem, skew unit.Length, seed uint64) (oracle.Search, func(), error) {
		b, err := rip.NewProbe(p, o, skew, seed)
		if err != nil {
			return nil, nil, err
		}
		return b, b.Release, nil
	}
}

// The network of cuttings worth at least an amount holds all of them, the best for each
// multiset of items.
func TestNetwork(t *testing.T) {
	networks(t, 100, rip.WithoutStates(rip.Spoilt(rip.Options{})))
	networks(t, 100, rip.Spoilt(rip.Options{}))
}

func networks(t *testing.T, n int, o rip.Options) {
	n = often(t, n)
	for seed, done := uint64(1), 0; done < n; seed++ {
		p, r := problem(t, seed)
		p.Saw.Skew = 0
		a, ok := oracle.Solve(p, mostPlans)
		if !ok {
			continue
		}
		like := r.IntN(len(a.Kinds))
		held, err := rip.NetworkHolds(&rip.Problem{Board: p.Board, Saw: p.Saw, Items: p.Items}, o, seed%3 > 0, a.Kinds, like)
		if err != nil {
			t.Fatalf("seed %d: %v\n%+v", seed, err, p)
		}
		if held {
			done++
		}
	}
}

// mostPlans is the most plans of a problem, at one skew.
const mostPlans = 3000

// often gives how many problems are wanted.
func often(t *testing.T, n int) int {
	n = brief.Fewer(n)
	if s := os.Getenv("RIPWRIGHT_BOUNDS"); s != "" {
		var err error
		if n, err = strconv.Atoi(s); err != nil {
			t.Fatal(err)
		}
	}
	return n
}

// problem gives a valid problem from a seed, drawn or varied from one on which the search
// was once wrong, and the random numbers for what else depends on the seed.
func problem(t *testing.T, seed uint64) (*oracle.Problem, *rand.Rand) {
	some, err := cases.Small()
	if err != nil {
		t.Fatal(err)
	}
	p := drawn.Draw(int64(seed), 0)
	q := &rip.Problem{Board: p.Board, Saw: p.Saw, Items: p.Items}
	if seed%4 == 0 || len(q.Faults()) > 0 {
		q = vary.Of(&some[seed/4%uint64(len(some))].Problem, seed)
	}
	return &oracle.Problem{Board: q.Board, Saw: q.Saw, Items: q.Items}, rand.New(rand.NewPCG(seed, 3))
}

// boundsOf checks n problems; in some of them, bounds that must be reached are reached.
func boundsOf(t *testing.T, n int, of func(*rip.Problem, unit.Length, uint64) (oracle.Search, func(), error), must ...string) {
	n = often(t, n)
	tally := oracle.Tally{}
	for seed, done := uint64(1), 0; done < n; seed++ {
		p, r := problem(t, seed)
		q := &rip.Problem{Board: p.Board, Saw: p.Saw, Items: p.Items}
		skew := unit.Length(0)
		if s := p.Saw.Skew / p.Saw.Step; s > 0 && !p.Board.StraightNear {
			skew = (unit.Length(r.Int64N(int64(2*s+1))) - s) * p.Saw.Step
		}
		search, release, err := of(q, skew, seed)
		if err != nil || search == nil {
			continue // lengths that combine in too many ways, or not its kind of saw
		}
		if parts, ok := oracle.Parts(p, int64(skew), search.Spans(), mostPlans); ok && len(parts) > 0 {
			done++
			if _, only := search.(*rip.ProbeTrails); only {
				parts = bestOnly(parts)
			}
			if err := oracle.Check(p, search, parts, intervals(p, r), tally); err != nil {
				t.Fatalf("seed %d, skew %v: %v\n%+v", seed, skew, err, q)
			}
		}
		release()
	}
	var lines []string
	for by, n := range tally {
		lines = append(lines, fmt.Sprintf("%s: checked %d times, reached %d times", by, n.Checked, n.Reached))
	}
	slices.Sort(lines)
	t.Log("\n" + strings.Join(lines, "\n"))
	for _, by := range must {
		if brief.On() {
			break // too few problems for each to be reached
		}
		if c := tally[by]; c == nil || c.Reached == 0 {
			t.Errorf("%s: never reached, so it may be as high as it likes", by)
		}
	}
}

// intervals gives some intervals of fences: all, one and some.
func intervals(p *oracle.Problem, r *rand.Rand) []oracle.Fences {
	step := int64(p.Saw.Step)
	lo, hi := int64(p.Saw.StepUp(p.Saw.Fence.Min)), int64(p.Saw.StepDown(p.Saw.Fence.Max))
	at := func() int64 { return lo + r.Int64N((hi-lo)/step+1)*step }
	all := []oracle.Fences{{Lo: lo, Hi: hi}}
	for range 2 {
		a, b := at(), at()
		all = append(all, oracle.Fences{Lo: a, Hi: a}, oracle.Fences{Lo: min(a, b), Hi: max(a, b)})
	}
	return all
}

// The travels by which settling bounds, over intervals of fences and including what it
// leaves out, are never above those of the oracle's settings.
func TestSettlingBounds(t *testing.T) {
	n := often(t, 60)
	checked := 0
	for seed, done := uint64(1), 0; done < n; seed++ {
		p, r := problem(t, seed)
		p.Saw.Skew = 0
		a, ok := oracle.Solve(p, mostPlans)
		if !ok {
			continue
		}
		some, err := rip.SettlesWithin(&rip.Problem{Board: p.Board, Saw: p.Saw, Items: p.Items}, rip.Spoilt(rip.Options{}), seed%3 > 0, a.Kinds, a.Settings, r)
		if err != nil {
			t.Fatalf("seed %d: %v\n%+v", seed, err, p)
		}
		if some > 0 {
			done++
		}
		checked += some
	}
	if checked < 10*n {
		t.Errorf("%d travels in %d problems were compared", checked, n)
	}
}
