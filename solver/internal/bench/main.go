// Command bench measures the search on one core, and quotes on all cores: against the
// project's targets, as each size of a problem grows, in memory, and against general
// solvers in the same run. BENCHMARKS.md in testdata explains the figures.
//
//	go run ./solver/internal/bench [-seeds n] [targets|quotes|scaling|memory|limits|general ...]
//
// Without an argument it does all of them.
package main

import (
	"flag"
	"fmt"
	"os"
	"slices"
)

// parts of the measurement, in their order. Each reports whether its targets hold.
var parts = []part{{"targets", targets}, {"quotes", quotes}, {"scaling", scaling}, {"memory", memory}, {"limits", limits}, {"general", general}}

type part struct {
	name string
	do   func(seeds int) (bool, error)
}

func main() {
	seeds := flag.Int("seeds", 200, "boards a case")
	flag.Parse()
	if *seeds < 1 {
		fmt.Fprintln(os.Stderr, "bench: -seeds is", *seeds, "and must be at least 1")
		os.Exit(2)
	}
	holds := true
	for _, name := range flag.Args() {
		if !slices.ContainsFunc(parts, func(p part) bool { return p.name == name }) {
			fmt.Fprintf(os.Stderr, "bench: %q is not one of targets, quotes, scaling, memory, limits and general\n", name)
			os.Exit(2)
		}
	}
	for _, p := range parts {
		if flag.NArg() > 0 && !slices.Contains(flag.Args(), p.name) {
			continue
		}
		fmt.Printf("== %s\n", p.name)
		ok, err := p.do(*seeds)
		if err != nil {
			fmt.Fprintf(os.Stderr, "bench: %s: %v\n", p.name, err)
			os.Exit(1)
		}
		holds = holds && ok
	}
	if !holds {
		fmt.Println("some targets fall short")
	}
}
