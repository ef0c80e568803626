package rip_test

import (
	"errors"
	"os"
	"strconv"
	"testing"

	"github.com/ripwright/ripwright/solver/internal/agree"
	"github.com/ripwright/ripwright/solver/internal/drawn"
	"github.com/ripwright/ripwright/solver/internal/vary"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/testdata/brief"
	"github.com/ripwright/ripwright/testdata/cases"
)

// Cases that were once wrong, as found and in many variations, agree with trying
// everything. Set RIPWRIGHT_VARIATIONS for more of them.
func TestVariationsOfCases(t *testing.T) { variations(t, 400, rip.Spoilt) }

// The same with caps bounded by tolls alone.
func TestVariationsOfCasesTolls(t *testing.T) {
	variations(t, 200, func(o rip.Options) rip.Options { return rip.WithoutStates(rip.Spoilt(o)) })
}

func variations(t *testing.T, n int, under func(rip.Options) rip.Options) {
	n = brief.Fewer(n)
	if s := os.Getenv("RIPWRIGHT_VARIATIONS"); s != "" {
		var err error
		if n, err = strconv.Atoi(s); err != nil {
			t.Fatal(err)
		}
	}
	all, err := cases.Small()
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range all {
		t.Run(c.Name, func(t *testing.T) {
			if err := asOracle(&c.Problem, 0, under(c.Options)); err != nil {
				t.Errorf("as it was found: %v", err)
			}
			wrong := 0
			for seed := range uint64(n) {
				p := vary.Of(&c.Problem, seed)
				o := under(rip.Options{RunnersUp: int(seed % 4)})
				if seed%3 == 0 { // a search that may be stopped dives first
					o.Stop = func() bool { return false }
				}
				if err := asOracle(p, seed, o); err != nil {
					if wrong++; wrong <= 3 {
						t.Errorf("variation %d: %v\n%+v", seed, err, p)
					}
				}
			}
			t.Logf("%d of %d variations wrong", wrong, n)
		})
	}
}

// asOracle solves a problem and reports how the result differs from trying everything.
func asOracle(p *rip.Problem, seed uint64, o rip.Options) error {
	x := drawn.Try(agree.Posed(p), int64(seed))
	if x == nil {
		return errors.New("too many plans to try them all")
	}
	return agree.SolvedWith(x, o)
}
