package sequence

import (
	"math/rand/v2"
	"runtime"
	"testing"

	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/testdata/brief"
)

// problem is an invented day: settings from a few positions, so that some share blades,
// and due times of which some cannot be kept.
func problem(seed uint64, n int) *Problem {
	r := rand.New(rand.NewPCG(seed, 3))
	blades := func() (b []unit.Length) {
		for i := range 6 {
			if r.IntN(2) == 0 {
				b = append(b, unit.Length(100+60*i+20*r.IntN(2))*unit.Millimetre)
			}
		}
		return b
	}
	p := &Problem{Current: blades(), Setup: Time(r.IntN(3)) * 60_000, PerBlade: Time(1+r.IntN(5)) * 60_000}
	for range n {
		var o Order
		for range 1 + r.IntN(3) {
			o.Settings = append(o.Settings, Setting{blades(), Time(10+r.IntN(50)) * 60_000})
		}
		if r.IntN(2) == 0 {
			o.Due = Time(20+r.IntN(40*n)) * 60_000
		}
		if seed%3 == 1 {
			o.Weight = Time(1 + r.IntN(9))
		}
		if seed%2 == 1 && r.IntN(3) == 0 {
			o.Start = Time(r.IntN(30*n)) * 60_000
		}
		p.Orders = append(p.Orders, o)
	}
	return p
}

// brute tries all sequences on all settings.
func brute(p *Problem) (late, total Time) {
	best := [2]Time{1 << 60, 1 << 60}
	done := make([]bool, len(p.Orders))
	var try func(left int, at []unit.Length, late, now Time)
	try = func(left int, at []unit.Length, late, now Time) {
		if left == 0 {
			if late < best[0] || late == best[0] && now < best[1] {
				best = [2]Time{late, now}
			}
			return
		}
		for i := range p.Orders {
			if done[i] {
				continue
			}
			done[i] = true
			for _, s := range p.Orders[i].Settings {
				same := 0
				for _, a := range at {
					for _, b := range s.Blades {
						if a == b {
							same++
						}
					}
				}
				end := now
				if m := max(len(at), len(s.Blades)) - same; m > 0 {
					end += p.Setup + Time(m)*p.PerBlade
				}
				end = max(end, p.Orders[i].Start) + s.Run
				l := late
				if d := p.Orders[i].Due; d > 0 && end > d {
					l += (end - d) * max(p.Orders[i].Weight, 1)
				}
				try(left-1, s.Blades, l, end)
			}
			done[i] = false
		}
	}
	try(len(p.Orders), p.Current, 0, 0)
	return best[0], best[1]
}

func TestBruteForce(t *testing.T) {
	for seed := range uint64(brief.Fewer(200)) {
		p := problem(seed, 1+int(seed%5))
		r := Solve(p, nil)
		late, total := brute(p)
		if !r.Proven || r.Best.Weighted != late || r.Best.Total != total {
			t.Fatalf("seed %d: late %d, total %d; brute force %d, %d", seed, r.Best.Weighted, r.Best.Total, late, total)
		}
		check(t, p, r)
	}
}

// check recomputes a result and compares it with the sequence given.
func check(t *testing.T, p *Problem, r *Result) {
	t.Helper()
	for _, q := range []Sequence{r.Best, r.Given} {
		seen := map[int]bool{}
		var late, change Time
		for _, s := range q.Steps {
			seen[s.Order] = true
			late += s.Late
			change += s.Change
		}
		if len(seen) != len(p.Orders) || len(q.Steps) != len(p.Orders) || late != q.Late || change != q.Change || change < r.ChangeBound || q.Weighted < r.LateBound || q.Total < r.TotalBound {
			t.Errorf("%+v, bound %d", q, r.ChangeBound)
		}
	}
	for i, s := range r.Given.Steps {
		if s.Order != i {
			t.Errorf("the sequence given has order %d at %d", s.Order, i)
		}
	}
	if r.Best.Weighted > r.Given.Weighted || r.Best.Weighted == r.Given.Weighted && r.Best.Total > r.Given.Total {
		t.Errorf("worse than as given: %+v", r)
	}
}

// Twelve orders are solved exactly: pruning loses nothing, and moving stretches alone
// misses the optimum.
func TestTwelveOrdersAreExact(t *testing.T) {
	worse := 0
	for seed := range uint64(brief.Fewer(12)) {
		p := problem(seed, 9+int(seed%4))
		r := Solve(p, nil)
		if !r.Proven {
			t.Fatal("not proven")
		}
		check(t, p, r)
		tb := newTable(p, nil)
		path, whole := tb.exact(label{late: 1 << 60})
		if q := tb.sequence(path); !whole || q.Weighted != r.Best.Weighted || q.Total != r.Best.Total {
			t.Errorf("seed %d: %d late, %d in all; with nothing left out %d and %d", seed, r.Best.Late, r.Best.Total, q.Late, q.Total)
		}
		tb.least()
		if end := tb.end(tb.construct(given(p), tb.newWalk(given(p), nil).states())); end.late != r.Best.Weighted || end.done != r.Best.Total {
			worse++
		}
	}
	if worse == 0 && !brief.On() { // then too few are tried
		t.Error("the constructions found all: the exact search was not tried")
	}
}

func given(p *Problem) []int {
	all := make([]int, len(p.Orders))
	for i := range all {
		all[i] = i
	}
	return all
}

// Many settings and conflicting due times stay within the memory of a service.
func TestExactStaysSmall(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 9))
	p := &Problem{Setup: 420_013, PerBlade: 180_007}
	for range 12 {
		o := Order{Due: Time(1 + r.IntN(12_000_000))}
		for range MaxSettings {
			var b []unit.Length
			for i := range 10 {
				if r.IntN(2) == 0 {
					b = append(b, unit.Length(100+60*i+r.IntN(3))*unit.Millimetre)
				}
			}
			o.Settings = append(o.Settings, Setting{b, Time(r.IntN(3_000_000))})
		}
		p.Orders = append(p.Orders, o)
	}
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	if q := Solve(p, nil); !q.Proven {
		t.Error("not proven")
	}
	runtime.ReadMemStats(&after)
	// Less than half of the total allocation is ever held at once.
	if mb := (after.TotalAlloc - before.TotalAlloc) >> 20; mb > 400 {
		t.Errorf("%d MB allocated", mb)
	}
}

func TestManyOrders(t *testing.T) {
	p := problem(5, 30)
	p.Work = 1_000_000
	r := Solve(p, nil)
	check(t, p, r)
	if r.Best.Late >= r.Given.Late {
		t.Errorf("late %d, as given %d", r.Best.Late, r.Given.Late)
	}
}

// Three of four blades stay: one is moved. Then one more blade is added.
func TestMoved(t *testing.T) {
	const mm = unit.Millimetre
	a := []unit.Length{100 * mm, 200 * mm, 300 * mm, 400 * mm}
	for _, c := range []struct {
		to   []unit.Length
		want int
	}{
		{a, 0},
		{[]unit.Length{100 * mm, 200 * mm, 310 * mm, 400 * mm}, 1},
		{[]unit.Length{100 * mm, 200 * mm, 300 * mm, 400 * mm, 500 * mm}, 1},
		{[]unit.Length{100 * mm, 400 * mm}, 2},
		{nil, 4},
	} {
		if got := Moved(a, c.to); got != c.want {
			t.Errorf("%v: %d moved, want %d", c.to, got, c.want)
		}
	}
}

// Whenever it is stopped, all orders are run once in Given and Best, and Best is no worse
// than Given and respects the bound.
func TestStopped(t *testing.T) {
	next := func(after int) int {
		if brief.On() {
			return 4*after + 1
		}
		return after*3/2 + 1
	}
	for seed := range uint64(brief.Fewer(3)) {
		p := problem(seed, 30)
		polls := 0
		for after := 0; ; after = next(after) {
			polls = 0
			r := Solve(p, func() bool { polls++; return polls > after })
			for _, q := range []*Sequence{&r.Best, &r.Given} {
				seen := map[int]bool{}
				for _, s := range q.Steps {
					seen[s.Order] = true
				}
				if len(q.Steps) != 30 || len(seen) != 30 || q.Change < r.ChangeBound {
					t.Fatalf("seed %d, stopped after %d polls: %d steps, %d orders, change %d, bound %d", seed, after, len(q.Steps), len(seen), q.Change, r.ChangeBound)
				}
			}
			if r.Best.Weighted > r.Given.Weighted || r.Best.Weighted == r.Given.Weighted && r.Best.Total > r.Given.Total {
				t.Fatalf("seed %d, stopped after %d polls: best %d late, %d in all; given %d, %d", seed, after, r.Best.Late, r.Best.Total, r.Given.Late, r.Given.Total)
			}
			if polls <= after || after > 5000 {
				break
			}
		}
	}
}

// However large the problem, a search polls often: between two polls no more than some
// thousand pairs of settings are compared.
func TestPolls(t *testing.T) {
	p := &Problem{Setup: 60_000, PerBlade: 60_000}
	for i := range MaxOrders {
		var o Order
		for a := range MaxSettings {
			o.Settings = append(o.Settings, Setting{[]unit.Length{unit.Length(i*10+a) * unit.Millimetre}, Time(1+a) * 60_000})
		}
		p.Orders = append(p.Orders, o)
	}
	var tb *table
	known, most := 0, 0
	tb = newTable(p, func() bool {
		now := 0
		for _, m := range tb.moved {
			if m > 0 {
				now++
			}
		}
		most, known = max(most, now-known), now
		return now > 200_000
	})
	tb.least()
	if most > 5000 || known <= 200_000 {
		t.Errorf("%d pairs between two looks, %d in all", most, known)
	}
}
