// Command bench measures the search on one core against the targets that the
// project has set itself, 200 seeds a case, and against general solvers, and
// prints a line for each: name, measured, wanted, and whether it holds.
package main

import (
	"flag"
	"fmt"
	"os"
	"slices"
	"time"

	"github.com/ripwright/ripwright/solver/rip"
)

// target is one case with the times that are wanted of it; 0: none.
type target struct {
	name        string
	c           shape
	median, p99 time.Duration
}

func main() {
	seeds := flag.Int("seeds", 200, "boards a case")
	flag.Parse()
	line := shape{width: 300, stations: 16, items: 10, step: 0.1}
	with := func(s shape, blades string) shape { s.blades = blades; return s }
	knotty := with(line, "MFFM")
	knotty.defects = 20
	big := shape{blades: "MMFFMM", width: 600, stations: 200, items: 24, step: 0.05}
	holds := true
	for _, t := range []target{
		{"line case, outer blades move (M F F M)", with(line, "MFFM"), 100 * time.Microsecond, 500 * time.Microsecond},
		{"line case, alternating (F M F M)", with(line, "FMFM"), 100 * time.Microsecond, 500 * time.Microsecond},
		{"seven moving blades", with(line, "MMMMMMM"), 300 * time.Microsecond, 0},
		{"six fixed blades", with(line, "FFFFFF"), 50 * time.Microsecond, 0},
		{"600 mm board, M M F F M M", big, 5 * time.Millisecond, 0},
		{"line case, 20 defects, 6 lengths", knotty, time.Millisecond, 0},
	} {
		n := *seeds
		times, proven, err := measure(t.c, n)
		if err != nil {
			fmt.Fprintln(os.Stderr, "bench:", t.name, err)
			os.Exit(1)
		}
		fmt.Printf("%-42s proven %d of %d\n", t.name, proven, n)
		holds = row("  median", times[len(times)/2], t.median) && holds
		holds = row("  99th percentile", times[(len(times)-1)*99/100], t.p99) && holds
	}
	ok, err := general()
	if err != nil {
		fmt.Fprintln(os.Stderr, "bench:", err)
		os.Exit(1)
	}
	if holds = ok && holds; !holds {
		fmt.Println("some targets fall short")
	}
}

func row(name string, got, want time.Duration) bool {
	if want == 0 {
		fmt.Printf("%-42s measured %10v\n", name, got.Round(time.Microsecond))
		return true
	}
	verdict := "holds"
	if got > want {
		verdict = "falls short"
	}
	fmt.Printf("%-42s measured %10v  wanted %8v  %s (%.2f of it)\n", name, got.Round(time.Microsecond), want, verdict,
		float64(got)/float64(want))
	return got <= want
}

// measure solves n boards, each twice, and counts the second time: caches and
// heap are then as they are on a line that runs.
func measure(c shape, n int) (times []time.Duration, proven int, err error) {
	for seed := range n {
		p := c.problem(uint64(seed))
		var r *rip.Result
		var took time.Duration
		for range 2 {
			start := time.Now()
			if r, err = rip.Solve(p, rip.Options{}); err != nil {
				return nil, 0, err
			}
			took = time.Since(start)
		}
		if r.Proven {
			proven++
		}
		times = append(times, took)
	}
	slices.Sort(times)
	return times, proven, nil
}
