package main

import (
	"fmt"
	"math"
	"runtime"
	"sync"
	"sync/atomic"
	"time"

	"github.com/ripwright/ripwright/solver/internal/bench/cases"
	"github.com/ripwright/ripwright/solver/planning/invented"
	"github.com/ripwright/ripwright/solver/planning/quote"
	"github.com/ripwright/ripwright/solver/planning/values"
)

// runs of a quote: the service's default.
const runs = 39

// quoted is the cost of a quote.
type quoted struct {
	boards       float64 // ripped in all runs
	solved       int64   // boards solved for that and for planning
	clock, cores time.Duration
}

// quoteBy quotes an invented order under one policy, on all cores. An order of a number
// of boards takes a few more.
func quoteBy(policy quote.Policy, boards int) (*quoted, error) {
	var solved atomic.Int64
	o := quote.Options{Policies: []quote.Policy{policy}, Runs: runs, Level: 0.9, Seed: 1, MostBoards: 100_000, Replan: 50,
		Values: values.Options{Each: each, Gap: 1e-3, Boards: &solved}}
	start, busy := time.Now(), cases.Busy()
	q, err := quote.Solve(invented.Order(1, boards), o)
	if err != nil {
		return nil, err
	}
	return &quoted{clock: time.Since(start), cores: cases.Busy() - busy, solved: solved.Load(),
		boards: q.Outcomes[0].Boards.Expected * float64(q.Outcomes[0].Runs)}, nil
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

// quotes measures how many boards a core solves in a second of its time for quotes of
// about 10,000 boards. The bench of the service measures the time by the clock.
func quotes(int) (bool, error) {
	const wanted = 10_000
	holds := true
	for _, by := range []struct {
		name   string
		policy quote.Policy
	}{{"a quote by its own values", quote.Own}, {"a quote by planned values", quote.Planned}} {
		rate := 0.0
		var q *quoted
		for range repeats {
			var err error
			if q, err = quoteBy(by.policy, 10_000/runs); err != nil {
				return false, err
			}
			rate = max(rate, float64(q.solved)/q.cores.Seconds())
		}
		holds = holds && rate >= wanted
		fmt.Printf("%-42s %.0f boards, %d solves, %.0f a second per core; wanted %d  %s\n", by.name, q.boards, q.solved, rate, wanted, says(rate >= wanted))
	}
	return holds, nil
}

// quoteSizes are the approximate numbers of boards that the quotes of the curve rip.
var quoteSizes = []int{500, 1_000, 2_000, 5_000, 10_000, 20_000}

// quoteScaling prints the processor time of quotes by the number of boards that they rip.
// Planning the initial values takes as long for few boards as for many.
func quoteScaling() error {
	for _, by := range []struct {
		name, theory string
		policy       quote.Policy
	}{
		{"boards of a quote, own values", "at most 1", quote.Own},
		{"boards of a quote, planned", "1, once runs are longer than the boards between plannings", quote.Planned},
	} {
		var before *quoted
		for i, n := range quoteSizes {
			var least *quoted
			for range repeats {
				q, err := quoteBy(by.policy, n*4/5/runs) // an order takes somewhat more
				if err != nil {
					return fmt.Errorf("%s, %d: %w", by.name, n, err)
				}
				if least == nil || q.cores < least.cores {
					least = q
				}
			}
			fmt.Printf("%-30s %8.0f %12v %12d", by.name, least.boards, least.cores.Round(time.Millisecond), least.solved)
			if before != nil {
				fmt.Printf(" %8.2f", math.Log(float64(least.cores)/float64(before.cores))/math.Log(least.boards/before.boards))
			}
			if i == len(quoteSizes)-1 {
				fmt.Print("  theory: ", by.theory)
			}
			fmt.Println()
			before = least
		}
	}
	return nil
}
