// Command planbench measures planning: how long a quote of 10,000 boards takes,
// and how much lumber orders take when values are planned again as they fill,
// against the least that the same boards could have filled them with, known only
// with hindsight, and against other ways to value strips.
package main

import (
	"flag"
	"fmt"
	"os"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"
	"syscall"
	"time"

	"github.com/ripwright/ripwright/solver/planning/quote"
	"github.com/ripwright/ripwright/solver/planning/values"
)

func main() {
	seeds := flag.Int("seeds", 20, "orders")
	boards := flag.Int("boards", 1000, "boards an order, about")
	flag.Parse()
	if err := measure(*seeds, *boards); err != nil {
		fmt.Fprintln(os.Stderr, "planbench:", err)
		os.Exit(1)
	}
}

func measure(seeds, boards int) error {
	if err := speed(); err != nil {
		return err
	}
	return lumberUsed(seeds, boards)
}

// each uses all cores: nothing else runs here.
func each(n int, f func(int)) {
	var next atomic.Int64
	var all sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), n) {
		all.Go(func() {
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				f(i)
			}
		})
	}
	all.Wait()
}

// speed of quotes of about 10,000 boards, their bounds included: by the order's own
// values, and by values that are planned again every 50 boards.
func speed() error {
	const wanted, wantedTime = 10_000, 1500 * time.Millisecond
	for _, how := range []struct {
		what   string
		policy quote.Policy
		gap    float64
	}{{"by its own values", quote.Own, 0.05}, {"by planned values", quote.Planned, 1e-3}} {
		var solved atomic.Int64
		o := quote.Options{Policies: []quote.Policy{how.policy}, Runs: 39, Level: 0.9, Seed: 1, MostBoards: 100_000, Replan: 50,
			Values: values.Options{Each: each, Gap: how.gap, Boards: &solved}}
		start, busy := time.Now(), cores()
		q, err := quote.Solve(mill(1, 250), o)
		if err != nil {
			return err
		}
		took := time.Since(start)
		busy = cores() - busy
		ripped := q.Outcomes[0].Boards.Expected * float64(o.Runs)
		scaled := time.Duration(float64(took) * wanted / ripped)
		fmt.Printf("quote %s, %.0f boards: %v; 10,000 boards measured %v  wanted %v  %s (%.2f of it)\n", how.what,
			ripped, took.Round(time.Millisecond), scaled.Round(time.Millisecond), wantedTime, verdict(scaled <= wantedTime),
			float64(scaled)/float64(wantedTime))
		per := float64(solved.Load()) / busy.Seconds()
		fmt.Printf("  %d solves in %v of core time: measured %.0f a second and core  wanted %d  %s\n",
			solved.Load(), busy.Round(time.Millisecond), per, wanted, verdict(per >= wanted))
	}
	return nil
}

// cores is the time that cores have worked for this process so far, which does not
// count what others on the machine take.
func cores() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

func verdict(holds bool) string {
	if holds {
		return "holds"
	}
	return "falls short"
}

// lumberUsed runs orders and prints what each took.
func lumberUsed(seeds, boards int) error {
	var over []float64
	var yield, own float64
	for seed := range uint64(seeds) {
		p := mill(seed, boards)
		o := quote.Options{Policies: []quote.Policy{quote.Planned, quote.Own, quote.Yield}, Runs: 1, Level: 0.9, Seed: seed,
			MostBoards: 20 * boards, Replan: 25, Values: values.Options{Each: each, Gap: 2e-3}}
		q, err := quote.Solve(p, o)
		if err != nil {
			return err
		}
		took := make([]int, 3)
		for i := range q.Outcomes {
			took[i] = int(q.Outcomes[i].Boards.Expected)
		}
		least, err := hindsight(p, seed, took[0])
		if err != nil {
			return err
		}
		share := float64(took[0])/float64(least) - 1
		over = append(over, share)
		own += 1 - float64(took[0])/float64(took[1])
		yield += 1 - float64(took[0])/float64(took[2])
		fmt.Printf("order %2d: planned values %5d boards, hindsight bound %5d, over it %5.2f %%; set by hand %5d, yield alone %5d\n",
			seed, took[0], least, 100*share, took[1], took[2])
	}
	if seeds == 0 {
		return nil
	}
	slices.Sort(over)
	median := over[len(over)/2]
	fmt.Printf("over the hindsight bound: median %.2f %%  wanted 1.00 %%  %s; worst %.2f %%\n", 100*median, verdict(median <= 0.01), 100*over[len(over)-1])
	fmt.Printf("boards saved by planned values: %.1f %% against values set by hand, %.1f %% against yield alone, on average\n",
		100*own/float64(seeds), 100*yield/float64(seeds))
	return nil
}

// hindsight gives the least n whose first n boards can fill the order, boards by
// parts: below it the bound on boards like the first n is more than n.
func hindsight(p *quote.Problem, seed uint64, took int) (int, error) {
	boards := quote.Boards(p, seed, 0, took)
	lo, hi := 0, took
	for n := took; lo+1 < hi; {
		v := p.Values
		v.Lots = []values.Lot{{ID: "seen", Price: 1, Kinds: boards[:n]}}
		pl, err := values.New(&v)
		if err != nil {
			return 0, err
		}
		plan, err := pl.Plan(pl.Demand.Open(), values.Options{Each: each, Gap: 5e-4})
		if err != nil {
			return 0, err
		}
		if plan.Bound <= float64(n) && len(plan.Impossible) == 0 {
			hi = n
		} else {
			lo = n
		}
		// What the boards so far say is the next guess; half way where it is no help.
		guess := int(plan.Bound) + 1
		if n = guess; guess <= lo || guess >= hi {
			if guess <= lo && hi-lo > 2 {
				n = min(lo+max((hi-lo)/8, 1), hi-1)
			} else {
				n = max(hi-max((hi-lo)/200, 1), lo+1)
			}
		}
	}
	return hi, nil
}
