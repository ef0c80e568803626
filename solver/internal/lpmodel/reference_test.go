//go:build verify

package lpmodel

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"github.com/ripwright/ripwright/solver/internal/oracle"
	"github.com/ripwright/ripwright/solver/rip"
)

// GLPK, CBC and HiGHS, published and widely used solvers, agree on the worth:
// of plain boards, and of boards with defects, crosscut lengths and skew.
func TestReferenceSolvers(t *testing.T) {
	for name, spoil := range map[string]func(*rip.Problem, uint64){"plain": nil, "spoilt": Spoil} {
		t.Run(name, func(t *testing.T) { compare(t, 60, spoil) })
	}
}

func compare(t *testing.T, instances int, spoil func(*rip.Problem, uint64)) {
	dir := t.TempDir()
	skewed := 0
	for seed, done := uint64(1), 0; done < instances; seed++ {
		p := Problem(seed)
		if spoil != nil {
			spoil(p, seed)
		}
		if len(p.Faults()) > 0 {
			continue
		}
		done++
		r, err := rip.Solve(p, rip.Options{})
		if err != nil || !r.Proven {
			t.Fatalf("seed %d: %v", seed, err)
		}
		ours := r.Best.Worth.Money()
		if r.Best.Skew != 0 {
			skewed++
		}
		var models []string
		for skew := -p.Saw.Skew; skew <= p.Saw.Skew; skew += p.Saw.Step {
			at := *p
			at.Board = oracle.Skewed(&p.Board, int64(skew))
			file := filepath.Join(dir, fmt.Sprintf("%d_%d.lp", seed, skew/mm+10))
			if err := os.WriteFile(file, []byte(Model(&at)), 0o600); err != nil {
				t.Fatal(err)
			}
			models = append(models, file)
		}
		var all sync.WaitGroup
		for _, s := range Solvers {
			all.Go(func() {
				theirs := 0.0
				for _, file := range models {
					v, _, err := s.Solve(file)
					if err != nil {
						t.Error(err)
					}
					theirs = max(theirs, v)
				}
				if math.Abs(theirs-ours) > 1e-6*max(1, ours) {
					t.Errorf("seed %d: %s has %v, we have %v\n%+v", seed, s.Name, theirs, ours, p)
				}
			})
		}
		all.Wait()
	}
	t.Logf("%d instances, three solvers; %d best at a skew", instances, skewed)
}
