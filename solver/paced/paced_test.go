package paced_test

import (
	"fmt"
	"math/big"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"
	"time"

	"github.com/ripwright/ripwright/solver/internal/oracle"
	"github.com/ripwright/ripwright/solver/paced"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/run"
	"github.com/ripwright/ripwright/solver/unit"
)

// terms draws a pace and a price that matters beside the worth of a plan.
func terms(r *rand.Rand, p *rip.Problem, worth unit.Worth) paced.Terms {
	t := paced.Terms{Pace: run.Pace{Feed: int64(10+r.IntN(41)) * 1e9, Positioning: int64(1+r.IntN(100)) * 1e6,
		Handling: time.Duration(r.IntN(3000)) * time.Millisecond, Overlaps: r.IntN(2) == 0}}
	if r.IntN(20) == 0 {
		t.Pace.Positioning = 0
	}
	c, _ := t.Pace.Cycle(p.Board.Length, 10*unit.Millimetre)
	share := worth.Money() * []float64{0.01, 0.1, 0.3, 1, 3}[r.IntN(5)]
	t.Price = min(int64(share*1e9/c.Total.Seconds()), paced.MaxPricePerHour*1_000_000_000/3600)
	return t
}

func instances() int {
	if n, err := strconv.Atoi(os.Getenv("RIPWRIGHT_BRUTE")); err == nil {
		return n
	}
	return 3000
}

// The search agrees with trying everything on the whole plan, ties and runners-up
// included. RIPWRIGHT_BRUTE sets the number of instances.
func TestBruteForce(t *testing.T) {
	differs, priced := 0, 0
	for seed, done := int64(1), 0; done < instances(); seed++ {
		p := oracle.Problem(seed)
		if seed%2 == 0 {
			oracle.Grow(p, seed)
		}
		if len(p.Faults()) > 0 || !oracle.Small(p) {
			continue
		}
		done++
		plain, err := rip.Solve(p, rip.Options{})
		if err != nil {
			t.Fatal(err)
		}
		at := terms(rand.New(rand.NewPCG(uint64(seed), 1)), p, plain.Best.Worth)
		all := oracle.KindsLess(p, func(move int64) *big.Int { return at.Cost(p.Board.Length, unit.Length(move)).Big() })
		o := rip.Options{RunnersUp: int(seed % 3)}
		got, err := paced.Solve(p, at, o)
		if err != nil {
			t.Fatal(err)
		}
		plans := append([]*rip.Plan{got.Best}, got.RunnersUp...)
		if !got.Proven || got.Bound != at.Net(p, got.Best) || len(plans) != min(o.RunnersUp+1, len(all)) {
			t.Fatalf("seed %d: %d plans of %d kinds; proven %v, bound %v", seed, len(plans), len(all), got.Proven, got.Bound)
		}
		for i, g := range plans {
			if all[i].Net = nil; oracle.Written(g) != all[i].String() {
				t.Errorf("seed %d, plan %d:\n got %s\nwant %s", seed, i, oracle.Written(g), all[i])
			}
		}
		if at.Price > 0 {
			priced++
		}
		if got.Best.Worth != plain.Best.Worth {
			differs++
		}
	}
	if differs*20 < priced {
		t.Errorf("the price bore on %d of %d plans only", differs, priced)
	}
}

// A search that a limit stops gives a valid plan and a true bound, and the same
// again.
func TestWorkLimit(t *testing.T) {
	stopped, full := 0, 0
	for seed, done := int64(1), 0; done < 400; seed++ {
		p := oracle.Problem(seed)
		if len(p.Faults()) > 0 {
			continue
		}
		done++
		plain, err := rip.Solve(p, rip.Options{})
		if err != nil {
			t.Fatal(err)
		}
		at := terms(rand.New(rand.NewPCG(uint64(seed), 2)), p, plain.Best.Worth)
		best, err := paced.Solve(p, at, rip.Options{})
		if err != nil {
			t.Fatal(err)
		}
		for _, work := range []int64{1, 30, 300, 3000} {
			r, err := paced.Solve(p, at, rip.Options{Work: work})
			if err != nil {
				t.Fatal(err)
			}
			net, most := at.Net(p, r.Best), at.Net(p, best.Best)
			if net.Cmp(most) > 0 || r.Bound.Cmp(most) < 0 || r.Proven != (r.EndedBy == rip.NoLimit) {
				t.Errorf("seed %d, %d steps: net %v, bound %v, optimum %v, proven %v by %v", seed, work, net, r.Bound, most, r.Proven, r.EndedBy)
			}
			if r.Proven && oracle.Written(r.Best) != oracle.Written(best.Best) {
				t.Errorf("seed %d, %d steps: proven another plan", seed, work)
			}
			again, err := paced.Solve(p, at, rip.Options{Work: work})
			if err != nil || fmt.Sprint(again.Best, again.Bound) != fmt.Sprint(r.Best, r.Bound) {
				t.Errorf("seed %d: not the same again", seed)
			}
			if !r.Proven {
				stopped++
			}
		}
		for _, memory := range []int64{1, 10_000, 20_000, 40_000} {
			r, err := paced.Solve(p, at, rip.Options{Memory: memory})
			if err != nil {
				t.Fatal(err)
			}
			if net, most := at.Net(p, r.Best), at.Net(p, best.Best); r.Memory > memory || net.Cmp(most) > 0 || r.Bound.Cmp(most) < 0 ||
				r.Proven != (r.EndedBy == rip.NoLimit) || r.Proven && oracle.Written(r.Best) != oracle.Written(best.Best) {
				t.Errorf("seed %d, %d bytes: %d held, net %v, bound %v, optimum %v, proven %v by %v", seed, memory, r.Memory, net, r.Bound, most, r.Proven, r.EndedBy)
			}
			if r.EndedBy == rip.MemoryLimit {
				full++
			}
		}
	}
	if full < 100 {
		t.Errorf("only %d searches were ended by memory", full)
	}
	if stopped < 100 {
		t.Errorf("only %d searches were stopped", stopped)
	}
}
