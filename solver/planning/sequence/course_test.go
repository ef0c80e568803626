package sequence

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/ripwright/ripwright/testdata/brief"
)

// The result of a move is computed from what it changes: it must equal that of the whole
// changed sequence, and glance must not exceed it.
func TestMovesInIncrements(t *testing.T) {
	tried, late, problems := 0, 0, brief.Fewer(60)
	for seed := range uint64(problems) {
		p := problem(seed, 5+int(seed)%60)
		tb := newTable(p, nil)
		r := &Result{}
		tb.least()
		tb.bounds(r)
		c := newClimb(newCourse(tb, tb.newWalk(given(p), nil).states()))
		random := rand.New(rand.NewPCG(seed, 4))
		for range 300 {
			a, b, pieces := c.draw(random)
			if pieces == nil {
				continue
			}
			pieces = slices.Clone(pieces)
			if b == a+1 && pieces[0].state == c.path[a] {
				t.Fatalf("seed %d: a move that changes nothing", seed)
			}
			glance, end := c.glance(a, pieces, b), c.try(a, pieces, b)
			c.set(a, pieces, b)
			chunksAsAnew(t, c.course)
			whole := tb.end(c.path)
			if end.late != whole.late || end.done != whole.done || c.course.end().late != whole.late {
				t.Fatalf("seed %d, %+v for %d to %d: %+v, and the whole is %+v", seed, pieces, a, b, end, whole)
			}
			if tb.timed && (glance.late > end.late || glance.done > end.done) {
				t.Fatalf("seed %d, %+v for %d to %d: %+v, at a glance %+v", seed, pieces, a, b, end, glance)
			}
			seen := make([]bool, len(p.Orders))
			for _, s := range c.path {
				seen[tb.states[s].order] = true
			}
			if slices.Contains(seen, false) || len(c.path) != len(seen) {
				t.Fatalf("seed %d: %+v loses an order", seed, pieces)
			}
			tried++
			if whole.late > 0 {
				late++
			}
		}
	}
	if tried < 100*problems || late < 20*problems {
		t.Errorf("%d problems: %d moves tried, %d of them late", problems, tried, late)
	}
}

// chunksAsAnew checks that chunks that a move has only shifted equal chunks made afresh.
func chunksAsAnew(t *testing.T, c *course) {
	t.Helper()
	for i := range c.chunks {
		kept := c.chunks[i]
		if !kept.made {
			continue
		}
		c.sum(i)
		anew := &c.chunks[i]
		for _, by := range []Time{-5_000_000, -60_000, -1, 1, 60_000, 5_000_000} {
			if kept.late(by) != anew.late(by) || kept.passes(by) != anew.passes(by) {
				t.Fatalf("chunk %d, moved by %d: %d late, passed %v; recomputed %d, %v", i, by, kept.late(by), kept.passes(by), anew.late(by), anew.passes(by))
			}
		}
	}
}

// The same problem has the same answer, and never one worse than the best construction.
func TestSameAgain(t *testing.T) {
	for seed := range uint64(brief.Fewer(4)) {
		p := problem(seed, 40)
		p.Work = 3_000_000
		a, b := Solve(p, nil), Solve(p, nil)
		if !slices.Equal(a.Best.Steps, b.Best.Steps) || a.Work != b.Work {
			t.Errorf("seed %d: %+v, again %+v", seed, a.Best, b.Best)
		}
		if a.Work < p.Work || a.Work > 2*p.Work {
			t.Errorf("seed %d: %d steps of %d", seed, a.Work, p.Work)
		}
		if c := a.Constructed; a.Best.Weighted > c.Weighted || a.Best.Weighted == c.Weighted && a.Best.Total > c.Total {
			t.Errorf("seed %d: worse than the best construction", seed)
		}
	}
}

// A search that is told what fraction of its time is spent spreads over that time and
// ends with it, whatever its limit of work.
func TestSpent(t *testing.T) {
	for seed := range uint64(brief.Fewer(4)) {
		p := problem(seed, 40)
		p.Work = 2_000_000
		short := Solve(p, nil)
		p.Work = 1 << 60
		const looks = 1000
		n := 0
		p.Spent = func() float64 { n++; return float64(n) / looks }
		r := Solve(p, nil)
		check(t, p, r)
		if n < looks && !r.Proven || n > looks+1000 {
			t.Errorf("seed %d: ended at look %d of %d", seed, n, looks)
		}
		if c := short.Constructed; r.Best.Weighted > c.Weighted || r.Best.Weighted == c.Weighted && r.Best.Total > c.Total {
			t.Errorf("seed %d: worse than the best construction", seed)
		}
		if r.Work <= short.Work || r.Best.Weighted > short.Best.Weighted+short.Best.Weighted/50 {
			t.Errorf("seed %d: %d late with %d steps, and %d with %d", seed, r.Best.Weighted, r.Work, short.Best.Weighted, short.Work)
		}
	}
}
