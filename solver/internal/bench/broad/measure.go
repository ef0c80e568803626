package broad

import (
	"fmt"
	"reflect"
	"runtime"
	"slices"
	"time"

	"github.com/ripwright/ripwright/solver/internal/bench/cases"
	"github.com/ripwright/ripwright/solver/rip"
)

// Solver solves a problem and meanwhile polls stop, if it is not nil, so that two solvers
// can be compared.
type Solver struct {
	Name  string
	Solve func(p *rip.Problem, stop func() bool) (*rip.Result, error)
}

// Search is the search as it is.
var Search = Solver{"the search", func(p *rip.Problem, stop func() bool) (*rip.Result, error) {
	return rip.Solve(p, rip.Options{Stop: stop})
}}

// Intervals is the search without its tables over heights, for comparison with them and
// for checking them.
var Intervals = Solver{"by intervals", func(p *rip.Problem, stop func() bool) (*rip.Result, error) {
	return rip.Solve(p, rip.Options{Stop: stop, Method: rip.ByIntervals})
}}

// Scale converts times of this machine to those of one on which the reference search
// takes Line for the line case.
type Scale struct {
	Measured time.Duration // the line case here
	Factor   float64       // Line / Measured
}

// Line is the nominal time of the line case M F F M.
const Line = 40 * time.Microsecond

// Calibrate measures a solver on the line case: the median over the boards of the least
// of several solves, without a limit.
func Calibrate(s Solver) (Scale, error) {
	const boards = 200
	line := cases.Line.With("", "MFFM")
	var all []time.Duration
	for seed := range uint64(boards) {
		p := line.Problem(seed)
		least := time.Duration(0)
		for i := range 6 {
			_, took, err := Timed(s, p, 0)
			if err != nil {
				return Scale{}, fmt.Errorf("line case, seed %d: %w", seed, err)
			}
			if i == 0 || took < least {
				least = took
			}
		}
		all = append(all, least)
	}
	slices.Sort(all)
	m := all[boards/2]
	return Scale{m, float64(Line) / float64(m)}, nil
}

// Of converts a time measured here to the scale.
func (s Scale) Of(d time.Duration) time.Duration { return time.Duration(float64(d) * s.Factor) }

// Here converts a scaled time to one here.
func (s Scale) Here(d time.Duration) time.Duration { return time.Duration(float64(d) / s.Factor) }

// Timed solves with a limit of the thread's processor time, if any, and gives the time
// that it took.
func Timed(s Solver, p *rip.Problem, limit time.Duration) (*rip.Result, time.Duration, error) {
	runtime.LockOSThread()
	defer runtime.UnlockOSThread()
	from := cases.Thread()
	var stop func() bool
	if limit > 0 {
		stop = spent(from, limit)
	}
	r, err := s.Solve(p, stop)
	return r, cases.Thread() - from, err
}

// spent gives a function that reports whether more than a limit of the thread's processor
// time has passed since from. That clock takes up to 2 us, as long as some dozen steps of a
// search, which polls it; so it is read only once enough time has passed on the wall, which
// processor time never outruns.
func spent(from, limit time.Duration) func() bool {
	began, next := time.Now(), limit
	return func() bool {
		now := time.Since(began)
		if now < next {
			return false
		}
		left := limit - (cases.Thread() - from)
		next = now + left
		return left < 0
	}
}

// Differ says where two results contradict each other, or "". Two proven plans must be
// equal in everything; no bound may be below a plan of the other.
func Differ(a, b *rip.Result) string {
	switch {
	case a.Bound.Cmp(b.Best.Worth) < 0:
		return fmt.Sprintf("the first one's bound %g is below the second one's plan %g", a.Bound.Money(), b.Best.Worth.Money())
	case b.Bound.Cmp(a.Best.Worth) < 0:
		return fmt.Sprintf("the second one's bound %g is below the first one's plan %g", b.Bound.Money(), a.Best.Worth.Money())
	case !a.Proven || !b.Proven:
		return ""
	case a.Best.Worth != b.Best.Worth:
		return fmt.Sprintf("proven worths %g and %g", a.Best.Worth.Money(), b.Best.Worth.Money())
	case !reflect.DeepEqual(a.Best, b.Best):
		return "proven plans of one worth differ"
	case !reflect.DeepEqual(a.RunnersUp, b.RunnersUp):
		return "proven runners-up differ"
	}
	return ""
}

// Solution is a solver's result for a case; the time is scaled.
type Solution struct {
	*rip.Result
	Took time.Duration
}

// quick is the longest solve that is repeated.
const quick = 5 * time.Millisecond

// Solved solves a problem with each of the solvers, quick ones several times: the least
// time counts.
func Solved(solvers []Solver, p *rip.Problem, scale Scale, limit time.Duration, repeats int) ([]Solution, error) {
	all := make([]Solution, len(solvers))
	for i, s := range solvers {
		for k := range repeats {
			r, took, err := Timed(s, p, scale.Here(limit))
			if err != nil {
				return nil, fmt.Errorf("%s: %w", s.Name, err)
			}
			if took = scale.Of(took); k == 0 || took < all[i].Took {
				all[i] = Solution{r, took}
			}
			if took > quick {
				break
			}
		}
	}
	return all, nil
}
