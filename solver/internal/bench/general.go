package main

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/ripwright/ripwright/solver/internal/lpmodel"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/unit"
)

// faster is how many times faster than the fastest general solver the search should be.
const faster = 1000

// general compares the search, at a step of 0.1 mm and over all the fence's travel, with
// the installed general solvers, at a step of 2 mm and by their solving time alone, on
// boards of the line case's size. A model has one fence stop: all solvers are measured at
// one, and the fastest of them then at every 2 mm of the travel, which is the question
// that the search answers. In each case both must agree on the worth at that step.
func general(seeds int) (bool, error) {
	var solvers []lpmodel.Solver
	for _, s := range lpmodel.Solvers {
		if s.Installed() {
			solvers = append(solvers, s)
		}
	}
	if len(solvers) == 0 {
		fmt.Println("not measured: no GLPK, CBC or HiGHS here; .ci/verify installs them")
		return true, nil
	}
	dir, err := os.MkdirTemp("", "bench")
	if err != nil {
		return false, err
	}
	defer func() { _ = os.RemoveAll(dir) }()
	file := filepath.Join(dir, "model.lp")

	boards := min(seeds, 15)
	theirs := make([][]time.Duration, len(solvers))
	var ours []time.Duration
	var binaries []int
	for seed := range uint64(boards) {
		p := lpmodel.LineProblem(seed)
		for i, s := range solvers {
			took, n, err := solveModel(s, p, file)
			if err != nil {
				return false, fmt.Errorf("seed %d: %w", seed, err)
			}
			theirs[i] = append(theirs[i], took)
			if i == 0 {
				binaries = append(binaries, n)
			}
		}
		_, own, err := least(freed(p, unit.Millimetre/10))
		if err != nil {
			return false, err
		}
		ours = append(ours, own)
	}
	us := median(ours)
	slices.Sort(binaries)
	fmt.Printf("%d boards of 300 mm, M F F M; models of %d binaries at the median\n", boards, binaries[boards/2])
	fmt.Printf("%-42s %10v\n", "the search, 0.1 mm, every fence stop", micros(us))
	fastest := 0
	for i, s := range solvers {
		them := median(theirs[i])
		fmt.Printf("%-42s %10v  %8.0f times as long\n", s.Name+", 2 mm, one fence stop", micros(them), float64(them)/float64(us))
		if them < median(theirs[fastest]) {
			fastest = i
		}
	}
	return everyStop(solvers[fastest], min(boards, 3), file)
}

// everyStop compares the search with one solver over the fence's whole travel.
func everyStop(s lpmodel.Solver, boards int, file string) (bool, error) {
	var ratios []float64
	for seed := range uint64(boards) {
		whole := freed(lpmodel.LineProblem(seed), 2*unit.Millimetre)
		best, sum := 0.0, time.Duration(0)
		for f := whole.Saw.Fence.Min; f <= whole.Saw.Fence.Max; f += whole.Saw.Step {
			p := lpmodel.LineProblem(seed)
			p.Saw.Fence.Min, p.Saw.Fence.Max, p.Saw.Fence.Current = f, f, f
			if err := os.WriteFile(file, []byte(lpmodel.Model(p)), 0o600); err != nil {
				return false, err
			}
			worth, took, err := s.Solve(file)
			if err != nil {
				return false, err
			}
			best, sum = max(best, worth), sum+took
		}
		r, _, err := least(whole)
		if err != nil {
			return false, err
		}
		if own := r.Best.Worth.Money(); !agree(best, own) {
			return false, fmt.Errorf("seed %d: %s finds %g, the search %g", seed, s.Name, best, own)
		}
		_, own, err := least(freed(whole, unit.Millimetre/10))
		if err != nil {
			return false, err
		}
		ratios = append(ratios, float64(sum)/float64(own))
		fmt.Printf("board %d: %s, 2 mm, every fence stop %v; the search, 0.1 mm, %v: %.0f times as long\n", seed, s.Name, micros(sum), micros(own),
			ratios[len(ratios)-1])
	}
	slices.Sort(ratios)
	ratio := ratios[len(ratios)/2]
	fmt.Printf("at the median %.0f times as long; wanted %d: %s\n", ratio, faster, says(ratio >= faster))
	return ratio >= faster, nil
}

// freed gives a problem with the line case's travel of the fence, and a step.
func freed(p *rip.Problem, step unit.Length) *rip.Problem {
	q := *p
	q.Saw.Step, q.Saw.Fence.Min, q.Saw.Fence.Max = step, 0, 250*unit.Millimetre
	return &q
}

// solveModel solves a problem's model by a solver and compares the worth.
func solveModel(s lpmodel.Solver, p *rip.Problem, file string) (took time.Duration, binaries int, err error) {
	model := lpmodel.Model(p)
	if err := os.WriteFile(file, []byte(model), 0o600); err != nil {
		return 0, 0, err
	}
	worth, took, err := s.Solve(file)
	if err != nil {
		return 0, 0, err
	}
	r, err := rip.Solve(p, rip.Options{})
	if err != nil {
		return 0, 0, err
	}
	if own := r.Best.Worth.Money(); !agree(worth, own) {
		return 0, 0, fmt.Errorf("%s finds %g, the search %g", s.Name, worth, own)
	}
	_, names, _ := strings.Cut(model, "Binary")
	return took, len(strings.Fields(names)) - 1, nil // less the closing End
}

func agree(a, b float64) bool { return math.Abs(a-b) <= 1e-6*max(a, b, 1) }

func median(all []time.Duration) time.Duration {
	s := slices.Sorted(slices.Values(all))
	return s[len(s)/2]
}
