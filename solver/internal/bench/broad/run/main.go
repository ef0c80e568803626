// Command run measures the search on broad cases: the times of boards for each arbor, in
// processor time scaled to a machine on which the line case takes 40 us.
//
//	go run ./solver/internal/bench/broad/run [-seed 1] [-boards 1250] [-limit 2s]
//	    [-arbors FFMM,FMMM] [-travel wide] [-edges rough,waney] ... [-by arbor,limited]
//
// Each feature has its own flag; boards counts the draws for an arbor, of which a filter
// keeps some unchanged.
package main

import (
	"flag"
	"fmt"
	"os"
	"slices"
	"strings"
	"time"

	"github.com/ripwright/ripwright/solver/internal/bench/broad"
)

// solvers are measured side by side: the others are compared with the first.
var solvers = []broad.Solver{broad.Search}

func main() {
	seed := flag.Uint64("seed", 1, "seed of the cases")
	boards := flag.Int("boards", 1250, "boards drawn for each arbor")
	limit := flag.Duration("limit", 2*time.Second, "time limit of a board, scaled")
	arbors := flag.String("arbors", "", "names of arbors, separated by commas; all by default")
	by := flag.String("by", "arbor,limited", "what the table has rows for: all, arbor, limited or features, separated by commas")
	repeats := flag.Int("repeats", 2, "solves of a board; the least time counts")
	slow := flag.Duration("slow", 0, "name each case that took longer than this, scaled")
	intervals := flag.Bool("intervals", false, "also solve by intervals of fences alone, and compare")
	curve := flag.Duration("curve", 0, "print worth against time instead, as parts of the best known after this much, scaled")
	filter := map[string]*string{}
	for _, c := range broad.Choices {
		words := slices.Compact(slices.Clone(c.Values))
		filter[c.Name] = flag.String(c.Name, "", strings.Join(words, ", ")+"; all by default")
	}
	flag.Parse()
	if *intervals {
		solvers = append(solvers, broad.Intervals)
	}
	do := func() error { return run(*seed, *boards, *limit, *arbors, *by, *repeats, *slow, filter) }
	if *curve > 0 {
		do = func() error { return curves(*seed, *boards, *curve, *arbors, *by, filter) }
	}
	if err := do(); err != nil {
		fmt.Fprintln(os.Stderr, "run:", err)
		os.Exit(1)
	}
}

func run(seed uint64, boards int, limit time.Duration, names, by string, repeats int, slow time.Duration, filter map[string]*string) error {
	wanted, err := selection(filter)
	if err != nil {
		return err
	}
	arbors, err := selected(seed, names)
	if err != nil {
		return err
	}
	key, err := broad.Key(by)
	if err != nil {
		return err
	}
	var factors []float64
	total, _ := broad.Key("limited")
	tables := []*broad.Table{broad.NewTable(key, solvers), broad.NewTable(total, solvers)}
	differ := 0
	for _, a := range arbors {
		// Again for each arbor: the speed of a busy machine changes by the minute.
		scale, err := broad.Calibrate(solvers[0])
		if err != nil {
			return err
		}
		factors = append(factors, scale.Factor)
		for n := range boards {
			c := broad.Draw(seed, a, n, wanted)
			if c == nil {
				continue
			}
			same, err := measure(c, scale, limit, max(repeats, 1), slow, tables)
			if err != nil {
				return fmt.Errorf("%s: %w", c.Name(), err)
			}
			if !same {
				differ++
			}
		}
	}
	slices.Sort(factors)
	fmt.Printf("seed %d; the line case M F F M counts as %v: times are scaled by %.3f at the median, %.3f to %.3f\n", seed, broad.Line,
		factors[len(factors)/2], factors[0], factors[len(factors)-1])
	for _, t := range tables {
		t.Print(os.Stdout)
	}
	if differ > 0 {
		return fmt.Errorf("%d cases have different results", differ)
	}
	return nil
}

// measure solves a case with every solver and reports whether they agree.
func measure(c *broad.Case, scale broad.Scale, limit time.Duration, repeats int, slow time.Duration, tables []*broad.Table) (bool, error) {
	results, err := broad.Solved(solvers, c.Problem, scale, limit, repeats)
	if err != nil {
		return false, err
	}
	same := true
	for i, r := range results {
		for _, t := range tables {
			t.Add(c, i, r.Result, r.Took)
		}
		if slow > 0 && r.Took > slow {
			fmt.Printf("slow: %s, %s: %v, proven %t, %+v\n", solvers[i].Name, c.Name(), r.Took, r.Proven, c.Features)
		}
		if d := broad.Differ(results[0].Result, r.Result); i > 0 && d != "" {
			fmt.Printf("differ: %s, %s: %s, %+v\n", solvers[i].Name, c.Name(), d, c.Features)
			same = false
		}
	}
	return same, nil
}

func selection(filter map[string]*string) (func(*broad.Features) bool, error) {
	words := make([][]string, len(broad.Choices))
	for i, c := range broad.Choices {
		if *filter[c.Name] == "" {
			continue
		}
		words[i] = strings.Split(*filter[c.Name], ",")
		for _, w := range words[i] {
			if !slices.Contains(c.Values, w) {
				return nil, fmt.Errorf("-%s: %q is not one of %s", c.Name, w, strings.Join(slices.Compact(slices.Clone(c.Values)), ", "))
			}
		}
	}
	return func(f *broad.Features) bool {
		for i := range broad.Choices {
			if words[i] != nil && !slices.Contains(words[i], broad.Choices[i].Of(f)) {
				return false
			}
		}
		return true
	}, nil
}

func selected(seed uint64, names string) ([]broad.Arbor, error) {
	all := broad.Arbors(seed)
	if names == "" {
		return all, nil
	}
	var some []broad.Arbor
	for name := range strings.SplitSeq(names, ",") {
		a, ok := broad.Find(seed, name)
		if !ok {
			var known []string
			for _, a := range all {
				known = append(known, a.Name)
			}
			return nil, fmt.Errorf("-arbors: %q is not one of %s", name, strings.Join(known, ", "))
		}
		some = append(some, a)
	}
	return some, nil
}
