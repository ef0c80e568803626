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
	"strings"
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

// every is after how many boards values are planned again.
const every = 25

// lumberUsed runs orders and prints, as rows of a table, what each took.
func lumberUsed(seeds, boards int) error {
	ways := []struct {
		what    string
		prepare func(r *orderRun, seed uint64) error
		every   int
		over    []float64
		took    int
	}{
		{what: "planned", every: every},
		{what: "planned, lumber told", every: every, prepare: (*orderRun).expect},
		{what: "set by hand"},
		{what: "yield alone", prepare: func(r *orderRun, _ uint64) error { r.byYield(); return nil }},
	}
	fmt.Printf("| order | hindsight bound |")
	for i := range ways {
		fmt.Printf(" %s | over |", ways[i].what)
	}
	fmt.Printf("\n|%s\n", strings.Repeat("---|", 2+2*len(ways)))
	for seed := range uint64(seeds) {
		p := mill(seed, boards)
		for i := range ways {
			w := &ways[i]
			r := newRun(p, w.every)
			if w.prepare != nil {
				if err := w.prepare(r, seed); err != nil {
					return err
				}
			}
			var err error
			if w.took, err = r.to(seed, 20*boards); err != nil {
				return err
			}
		}
		least, err := hindsight(p, seed, ways[0].took)
		if err != nil {
			return err
		}
		fmt.Printf("| %d | %d |", seed, least)
		for i := range ways {
			w := &ways[i]
			w.over = append(w.over, float64(w.took)/float64(least)-1)
			fmt.Printf(" %d | %.2f %% |", w.took, 100*w.over[seed])
		}
		fmt.Println()
	}
	for i := range ways {
		w := &ways[i]
		slices.Sort(w.over)
		fmt.Printf("%s: over the bound %.2f %% at the median, %.2f %% on average, %.2f %% at worst\n", w.what,
			100*median(w.over), 100*mean(w.over), 100*w.over[len(w.over)-1])
	}
	m := median(ways[0].over)
	fmt.Printf("planned values over the hindsight bound at the median: %.2f %%  wanted 1.00 %%  %s\n", 100*m, verdict(m <= 0.01))
	for _, w := range ways[2:] {
		fmt.Printf("boards saved by planned values against %s: %.1f %% on average\n", w.what, 100*(1-(1+mean(ways[0].over))/(1+mean(w.over))))
	}
	return nil
}

func median(sorted []float64) float64 {
	n := len(sorted)
	return (sorted[(n-1)/2] + sorted[n/2]) / 2
}

func mean(all []float64) float64 {
	sum := 0.0
	for _, v := range all {
		sum += v
	}
	return sum / float64(len(all))
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
