package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"time"

	"github.com/ripwright/ripwright/solver/internal/lpmodel"
	"github.com/ripwright/ripwright/solver/rip"
)

// general compares the search at a step of 0.1 mm with the fastest of the
// general solvers that are installed, on the same boards, saws and orders at a
// step of 2 mm, its solving time alone. It reports whether the search is as many
// times faster as is wanted.
func general() (bool, error) {
	const name, boards, wanted = "against the fastest general solver", 15, 1000
	var solvers []lpmodel.Solver
	for _, s := range lpmodel.Solvers {
		if s.Installed() {
			solvers = append(solvers, s)
		}
	}
	if len(solvers) == 0 {
		fmt.Printf("%-42s not measured: no GLPK, CBC or HiGHS here; .ci/verify installs them\n", name)
		return true, nil
	}
	dir, err := os.MkdirTemp("", "bench")
	if err != nil {
		return false, err
	}
	defer func() { _ = os.RemoveAll(dir) }()
	var ours, theirs []time.Duration
	for seed := uint64(1); len(ours) < boards; seed++ {
		p := lpmodel.Problem(seed)
		if len(p.Faults()) > 0 {
			continue
		}
		file := filepath.Join(dir, fmt.Sprint(seed)+".lp")
		if err := os.WriteFile(file, []byte(lpmodel.Model(p)), 0o600); err != nil {
			return false, err
		}
		fastest := time.Duration(0)
		for i, s := range solvers {
			_, took, err := s.Solve(file)
			if err != nil {
				return false, err
			}
			if i == 0 || took < fastest {
				fastest = took
			}
		}
		p.Saw.Step = length(0.1)
		own := time.Duration(0)
		for i := range 5 {
			start := time.Now()
			if _, err := rip.Solve(p, rip.Options{}); err != nil {
				return false, err
			}
			if took := time.Since(start); i == 0 || took < own {
				own = took
			}
		}
		ours, theirs = append(ours, own), append(theirs, fastest)
	}
	slices.Sort(ours)
	slices.Sort(theirs)
	us, them := ours[boards/2], theirs[boards/2]
	ratio := float64(them) / float64(us)
	verdict := "holds"
	if ratio < wanted {
		verdict = "falls short"
	}
	fmt.Printf("%-42s %v against %v at the median: %.0f times faster  wanted %d  %s\n", name,
		us.Round(time.Microsecond), them.Round(time.Microsecond), ratio, wanted, verdict)
	return ratio >= wanted, nil
}
