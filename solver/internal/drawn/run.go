package drawn

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"runtime"
	"strconv"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/ripwright/ripwright/solver/internal/oracle"
	"github.com/ripwright/ripwright/testdata/brief"
)

// Most is the greatest number of plans of a drawn problem, so that trying them all takes
// a few milliseconds.
const Most = 50_000

// Trial is a drawn problem and the result of trying everything.
type Trial struct {
	Seed    int64
	Want    Set // the features that were wanted
	Problem *oracle.Problem
	Answer  *oracle.Answer
	// Rand draws the random choices of a check; the same for equal seeds.
	Rand *rand.Rand
	// Unproven counts searches of a check that a limit ended, Endless those of them whose
	// limit was generous.
	Unproven, Endless int

	err error
}

// Try tries everything on a problem; nil: there is too much.
func Try(p *oracle.Problem, seed int64) *Trial {
	a, ok := oracle.Solve(p, Most)
	if !ok {
		return nil
	}
	return &Trial{Seed: seed, Problem: p, Answer: a, Rand: rand.New(rand.NewPCG(uint64(seed), 3))}
}

// Check looks for a difference between what is tested and the result of trying
// everything.
type Check func(*Trial) error

// call turns a panic into an error.
func (c Check) call(t *Trial) (err error) {
	defer func() {
		if r := recover(); r != nil {
			trace := make([]byte, 4096)
			err = fmt.Errorf("panic: %v\n%s", r, trace[:runtime.Stack(trace, false)])
		}
	}()
	return c(t)
}

// Number gives how many problems to draw: n, a sixth of that if tests are brief, or the
// value of the variable RIPWRIGHT_BRUTE.
func Number(t testing.TB, n int) int {
	t.Helper()
	n = brief.Fewer(n)
	if s := os.Getenv("RIPWRIGHT_BRUTE"); s != "" {
		var err error
		if n, err = strconv.Atoi(s); err != nil {
			t.Fatal(err)
		}
	}
	return n
}

// From gives the first seed: 1, or the value of the variable RIPWRIGHT_SEED.
func From(t testing.TB) int64 {
	t.Helper()
	seed := int64(1)
	if s := os.Getenv("RIPWRIGHT_SEED"); s != "" {
		var err error
		if seed, err = strconv.ParseInt(s, 10, 64); err != nil {
			t.Fatal(err)
		}
	}
	return seed
}

// Run draws at least n problems, unless tests are brief until every permitted triple of
// features was drawn, and checks each, on all cores. A problem that fails is shrunk
// and written out. With RIPWRIGHT_COVERAGE it prints how often every pair and triple was
// drawn. Each tried problem is passed to the look functions, in order.
func Run(t *testing.T, n int, check Check, look ...func(*Trial)) {
	t.Helper()
	c := NewCoverage()
	more := func() bool { return c.Problems < n || !brief.On() && !c.whole() && c.Problems < 4*n }
	failed := run(t, 512, check, more, c.Target, func(x *Trial) {
		c.Count(Present(x.Problem, &x.Answer.Seen))
		for _, f := range look {
			f(x)
		}
	})
	var report bytes.Buffer
	c.Report(&report, os.Getenv("RIPWRIGHT_COVERAGE") != "")
	t.Log("\n" + report.String())
	if !failed && !brief.On() { // brief tests draw too few for every triple
		for _, s := range c.Missing() {
			t.Errorf("never drawn: %v", s)
		}
	}
	for _, s := range c.Wrong() {
		t.Errorf("drawn, and said to be impossible, since %s: %v", Excluded(s), s)
	}
}

// Some is Run for n problems with some features wanted.
func Some(t *testing.T, n int, want Set, check Check, look ...func(*Trial)) {
	t.Helper()
	done := 0
	run(t, min(n, 32), check, func() bool { return done < n }, func() Set { return want }, func(x *Trial) {
		done++
		for _, f := range look {
			f(x)
		}
	})
}

// mostFailures is how many failures are reported before a run ends.
const mostFailures = 5

// run draws and checks problems in batches, and passes them to take in order. What is
// wanted of a batch depends on the batches before it.
func run(t *testing.T, batch int, check Check, more func() bool, want func() Set, take func(*Trial)) (failed bool) {
	t.Helper()
	failures := 0
	for seed := From(t); more() && failures < mostFailures; seed += int64(batch) {
		all := make([]*Trial, batch)
		wants := make([]Set, batch)
		for i := range wants {
			wants[i] = want()
		}
		onAllCores(batch, func(i int) { all[i] = try(seed+int64(i), wants[i], check) })
		for _, x := range all {
			if x == nil {
				continue // too many plans
			}
			take(x)
			if x.err != nil && failures < mostFailures {
				failures++
				Fail(t, x, check)
			}
		}
	}
	return failures > 0
}

func onAllCores(n int, do func(i int)) {
	var next atomic.Int64
	var work sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		work.Go(func() {
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				do(i)
			}
		})
	}
	work.Wait()
}

func try(seed int64, want Set, check Check) *Trial {
	x := Try(Draw(seed, want), seed)
	if x == nil {
		return nil
	}
	x.Want = want
	watch := time.AfterFunc(patience, func() { panic(fmt.Sprintf("seed %d, drawn with %v, does not end: %s", seed, want, JSON(x.Problem))) })
	defer watch.Stop()
	x.err = check.call(x)
	return x
}

// patience is the time after which an endless search is reported with its problem.
const patience = 3 * time.Minute

// Fail reports what a check says of a problem, and the smallest problem for which it
// reports anything.
func Fail(t testing.TB, x *Trial, check Check) {
	t.Helper()
	var says error
	small := Shrink(x.Problem, func(p *oracle.Problem) bool {
		y := Try(p, x.Seed)
		if y == nil {
			return false
		}
		err := check.call(y)
		if err != nil {
			says = err
		}
		return err != nil
	})
	t.Errorf("seed %d, drawn with %v:\n%v\nshrunk:\n%v\n%s", x.Seed, x.Want, x.err, says, JSON(small))
}
