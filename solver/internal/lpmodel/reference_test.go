//go:build verify

package lpmodel

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/ripwright/ripwright/solver/rip"
)

// GLPK, CBC and HiGHS, published and widely used solvers, agree on the worth.
func TestReferenceSolvers(t *testing.T) {
	const instances = 60
	dir := t.TempDir()
	done := 0
	for seed := uint64(1); done < instances; seed++ {
		p := Problem(seed)
		if len(p.Faults()) > 0 {
			continue
		}
		done++
		r, err := rip.Solve(p, rip.Options{})
		if err != nil || !r.Proven {
			t.Fatalf("seed %d: %v", seed, err)
		}
		file := filepath.Join(dir, fmt.Sprintf("%d.lp", seed))
		if err := os.WriteFile(file, []byte(Model(p)), 0o600); err != nil {
			t.Fatal(err)
		}
		ours := r.Best.Worth.Money()
		for _, s := range Solvers {
			theirs, _, err := s.Solve(file)
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(theirs-ours) > 1e-6*max(1, ours) {
				t.Errorf("seed %d: %s has %v, we have %v\n%+v", seed, s.Name, theirs, ours, p)
			}
		}
	}
	t.Logf("%d instances, three solvers", done)
}
