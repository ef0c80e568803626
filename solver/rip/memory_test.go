package rip_test

import (
	"fmt"
	"runtime"
	"runtime/debug"
	"testing"

	"github.com/ripwright/ripwright/solver/internal/agree"
	"github.com/ripwright/ripwright/solver/internal/bench/broad"
	"github.com/ripwright/ripwright/solver/internal/drawn"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/testdata/brief"
	"github.com/ripwright/ripwright/testdata/cases"
)

// heap measures how much the heap has grown since it began, with a collector so busy that
// little of it is garbage.
type heap struct {
	before, most int64
	percent      int
}

func watchHeap() *heap {
	h := &heap{percent: debug.SetGCPercent(10)}
	runtime.GC()
	runtime.GC() // what pools had kept is gone only now
	h.look()
	h.before, h.most = h.most, 0
	return h
}

func (h *heap) look() {
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	h.most = max(h.most, int64(m.HeapAlloc)-h.before)
}

func (h *heap) done() { debug.SetGCPercent(h.percent) }

// Requests that asked for up to 54 GB are answered within their memory limit, on the heap
// as well as by the count.
func TestMemory(t *testing.T) {
	brief.Skip(t)
	all, err := cases.Hard()
	if err != nil || len(all) < 4 {
		t.Fatalf("%d cases: %v", len(all), err)
	}
	const garbage = 4 << 20   // and what is not counted: the problem itself, the plans
	const unfilled = 28 << 20 // start heuristics count caches that they fill as they go
	reached := int64(0)
	for _, c := range all {
		for _, limit := range []int64{1, 1 << 20, rip.DefaultMemory} {
			h, polls, most := watchHeap(), 0, 500
			if limit == rip.DefaultMemory {
				most = 2500 // until most of it is in use
			}
			r, err := rip.Solve(&c.Problem, rip.Options{RunnersUp: max(c.Options.RunnersUp, 1), Memory: limit, Stop: func() bool {
				if polls++; polls%50 == 0 {
					h.look()
				}
				return polls > most
			}})
			h.look()
			h.done()
			if err != nil {
				t.Fatalf("%s: %v", c.Name, err)
			}
			if r.Memory > limit || h.most > limit+limit/8+garbage {
				t.Errorf("%s, %d bytes: %d counted, %d on the heap", c.Name, limit, r.Memory, h.most)
			}
			if r.Memory > 2*h.most+garbage+unfilled {
				t.Errorf("%s, %d bytes: %d counted, only %d on the heap", c.Name, limit, r.Memory, h.most)
			}
			if r.Proven || r.EndedBy == rip.NoLimit || r.Bound.Cmp(r.Best.Worth) < 0 {
				t.Errorf("%s, %d bytes: proven %v, ended by %v", c.Name, limit, r.Proven, r.EndedBy)
			}
			if got, err := rip.Check(&c.Problem, r.Best.Skew, r.Best.Fence, r.Best.Blades, rip.Options{Work: 100_000}); err != nil || len(got.Broken) > 0 {
				t.Errorf("%s, %d bytes: %v, %v", c.Name, limit, err, got.Broken)
			}
			reached = max(reached, h.most)
		}
	}
	if reached < rip.DefaultMemory/4 {
		t.Errorf("only %d bytes were ever needed", reached)
	}
}

// A search that memory ends gives a valid plan and a true bound, the same whatever ran
// before it.
func TestMemoryLimit(t *testing.T) {
	hard, err := cases.Hard()
	if err != nil {
		t.Fatal(err)
	}
	ended := 0
	for seed, done := int64(1), 0; done < brief.Fewer(60); seed++ {
		p := agree.Problem(drawn.Draw(seed, 0))
		done++
		o := rip.Options{RunnersUp: int(seed % 3)}
		best, err := rip.Solve(p, o)
		if err != nil {
			t.Fatal(err)
		}
		for _, o.Memory = range []int64{1, 2_000, 10_000, 20_000, 40_000, 80_000} {
			first, err := rip.Solve(p, o)
			if err != nil {
				t.Fatal(err)
			}
			if first.Memory > o.Memory || first.Best.Worth.Cmp(best.Best.Worth) > 0 || first.Bound.Cmp(best.Best.Worth) < 0 ||
				first.Proven != (first.EndedBy == rip.NoLimit) {
				t.Errorf("seed %d, %d bytes: %d held, worth %v, bound %v, optimum %v, ended by %v", seed, o.Memory, first.Memory, first.Best.Worth, first.Bound, best.Best.Worth, first.EndedBy)
			}
			if first.Proven && agree.Written(first.Best) != agree.Written(best.Best) {
				t.Errorf("seed %d, %d bytes: proven another plan", seed, o.Memory)
			}
			if first.EndedBy == rip.MemoryLimit {
				ended++
			}
			if done%10 == 0 { // another search leaves its memory behind, or none is left
				polls := 0
				if _, err := rip.Solve(&hard[done/10%len(hard)].Problem, rip.Options{Stop: func() bool { polls++; return polls > 50 }}); err != nil {
					t.Fatal(err)
				}
			} else {
				runtime.GC()
				runtime.GC()
			}
			again, err := rip.Solve(p, o)
			if err != nil {
				t.Fatal(err)
			}
			if fmt.Sprint(*again.Best, again.Bound, again.EndedBy, again.Work, again.Memory) != fmt.Sprint(*first.Best, first.Bound, first.EndedBy, first.Work, first.Memory) {
				t.Errorf("seed %d, %d bytes: a second solve differs", seed, o.Memory)
			}
		}
	}
	if ended < brief.Fewer(75) {
		t.Errorf("only %d searches were ended by memory", ended)
	}
}

// The crude bound, over all angles and at that of the board as sent, is never below the
// best plan.
func TestCrude(t *testing.T) {
	skewed := 0
	for seed, done := int64(1), 0; done < brief.Fewer(400); seed++ {
		p := agree.Problem(drawn.Draw(seed, 0))
		done++
		r, err := rip.Solve(p, rip.Options{})
		if err != nil {
			t.Fatal(err)
		}
		for what, bound := range rip.CrudeBounds(p) {
			if bound.Cmp(r.Best.Worth) < 0 {
				t.Errorf("seed %d: the crude bound %s is %v, the best plan is worth %v", seed, what, bound, r.Best.Worth)
			}
		}
		if p.Saw.Skew > 0 {
			skewed++
		}
	}
	if skewed < brief.Fewer(20) {
		t.Errorf("only %d boards could be set askew", skewed)
	}
}

// A check that is ended at once still gives the setting, and says what ended it.
func TestCheckLimit(t *testing.T) {
	for seed := range int64(brief.Fewer(100)) {
		p := agree.Problem(drawn.Draw(seed, 0))
		r, err := rip.Solve(p, rip.Options{})
		if err != nil {
			t.Fatal(err)
		}
		for want, o := range map[rip.Limit]rip.Options{rip.WorkLimit: {Work: 1}, rip.MemoryLimit: {Memory: 1}} {
			c, err := rip.Check(p, r.Best.Skew, r.Best.Fence, r.Best.Blades, o)
			if err != nil {
				t.Fatal(err)
			}
			if c.EndedBy != want || len(c.Plan.Blades) != len(p.Saw.Blades) || c.Plan.Fence != r.Best.Fence || c.Plan.Worth.Cmp(r.Best.Worth) > 0 {
				t.Errorf("seed %d: ended by %v, plan %v", seed, c.EndedBy, c.Plan)
			}
		}
		c, err := rip.Check(p, r.Best.Skew, r.Best.Fence, r.Best.Blades, rip.Options{})
		if err != nil || c.EndedBy != rip.NoLimit || c.Plan.Worth != r.Best.Worth {
			t.Errorf("seed %d: %v, ended by %v", seed, err, c.EndedBy)
		}
	}
}

// Boards with many states of caps, with ties at 100,000 heights and with travels of such
// ties, which once ended by memory or took 88 million steps, are proven within it, in 4
// million steps.
func TestProvenInMemory(t *testing.T) {
	brief.Skip(t)
	for _, c := range []struct {
		seed   uint64
		arbor  string
		number int
	}{{9752, "MMMMMMM", 2}, {9751, "MMMM", 10}, {41001, "MMMMMMM", 546}, {9752, "7:FMMMFM/off", 7}} {
		a, ok := broad.Find(c.seed, c.arbor)
		if !ok {
			t.Fatalf("%+v: there is no such arbor", c)
		}
		r, err := rip.Solve(broad.Draw(c.seed, a, c.number, nil).Problem, rip.Options{Work: 4_000_000})
		if err != nil || !r.Proven {
			t.Errorf("%+v: %v, ended by %v after %d steps", c, err, r.EndedBy, r.Work)
		}
	}
}
