package fences

import (
	"math"
	"math/big"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/ripwright/ripwright/solver/internal/drawn"
	"github.com/ripwright/ripwright/solver/internal/oracle"
	"github.com/ripwright/ripwright/solver/internal/search/budget"
	"github.com/ripwright/ripwright/solver/internal/search/costtogo"
	"github.com/ripwright/ripwright/solver/internal/search/layered"
	"github.com/ripwright/ripwright/solver/internal/search/model"
	"github.com/ripwright/ripwright/solver/unit"
)

// worthOf converts a worth of the oracle.
func worthOf(v *big.Int) unit.Worth {
	lo := new(big.Int).And(v, new(big.Int).SetUint64(1<<64-1))
	return unit.Worth{Hi: new(big.Int).Rsh(v, 64).Int64(), Lo: lo.Uint64()}
}

// bounding is a problem with the best plan of each of its settings, by trying everything.
type bounding struct {
	*testing.T
	*solver
	seed     int64
	settings []*oracle.Plan
	counts   map[string]int
}

// reaches checks that a bound on what may be worth v is not below it.
func (b *bounding) reaches(what string, bound, v int64) {
	b.Helper()
	if bound < v {
		b.Fatalf("seed %d: %s: %d, but there is a plan worth %d", b.seed, what, bound, v)
	}
	if v > 0 {
		b.counts[what]++
		if bound <= v+b.profile.Slack {
			b.counts[what+", reached"]++
		}
	}
}

// within checks the bounds over an interval of fence stops.
func (b *bounding) within(from, to int, travels bool) {
	s := b.solver
	s.from, s.to, s.incumbent = from, to, nil
	s.free()
	for _, x := range []*costtogo.Side{s.left, s.right} {
		x.Within(s.m.Fence(from), s.m.Fence(to), travels)
		if !x.Build(s.states) {
			b.Fatal("no tables")
		}
	}
	s.gl.Reset(s.left, s.budget)
	s.gr.Reset(s.right, s.budget)
	s.between.begin(s.states, s.budget)
	first := s.bound()
	best := int64(-1)
	along := make([]int64, to-from+1)
	if s.between.last >= 0 {
		s.sidesAlong(along, from, s.states.Count-1)
		s.between.pocketsAlong(along, from)
	}
	for _, k := range b.settings {
		t := int((k.Fence - s.m.FenceLo) / s.m.Step)
		if t < from || t > to {
			continue
		}
		v := s.profile.Up(worthOf(k.Worth()))
		best = max(best, v)
		b.reaches("a fence", s.bounds[t], v)
		b.reaches("the first fence", s.bounds[first], v)
		if s.between.last >= 0 {
			if one := s.sides(t, s.states.Count-1) + s.between.pockets(t); along[t-from] != one {
				b.Fatalf("seed %d: fence stop %d is bounded by %d in a row, and by %d alone", b.seed, t, along[t-from], one)
			}
			most, _ := s.between.inSpans(t)
			b.reaches("a fence with spans loosely", along[t-from]+most, v)
			b.reaches("a fence with spans by rows", s.sides(t, s.states.Count-1)+s.between.inRow(t), v)
			b.reaches("a fence with spans worked out", s.sides(t, s.states.Count-1)+s.between.sharper(t), v)
		}
	}
	b.labels(best)
	b.travels(first) // which may keep more caps
	if best >= 0 && !s.m.Board.StraightNear && len(s.between.spans) == 0 && from < to {
		p := piece{from: from, to: to, bound: crude(s.m)}
		if can, open := s.shifted(&p); !can || open != Closed {
			b.Fatalf("seed %d: no plan, as a board that lies anywhere has it", b.seed)
		}
		b.reaches("a board that lies anywhere", s.profile.Up(p.bound), best)
		b.reaches("strips alone", s.profile.Up(crude(s.m)), best)
	}
}

// travels checks the least travel of plans of the best score over some intervals.
func (b *bounding) travels(first int) {
	s := b.solver
	roots, top, _, open := s.ties(first, true, &Result{})
	if open != Closed || len(roots) == 0 {
		return
	}
	x := settling{solver: s, least: math.MaxInt64}
	from, to := s.m.Fence(s.from), s.m.Fence(s.to)
	s.gl.Within(from, to)
	s.gr.Within(from, to)
	x.bound(roots) // which bounds those of parts
	r := rand.New(rand.NewPCG(uint64(b.seed), 6))
	for range 4 {
		lo := s.from + r.IntN(s.to-s.from+1)
		hi := lo + r.IntN(s.to-lo+1)
		var some []root
		for _, k := range roots {
			if k.n > 1 { // all fences are alike
				k.t, k.n = int32(lo), int32(hi-lo+1)
			}
			if int(k.t) >= lo && int(k.t) <= hi {
				some = append(some, k)
			}
		}
		if len(some) == 0 {
			continue
		}
		begin := x.mark()
		least := x.bound(some)
		x.undo(begin, x.mark())
		x.drop(begin)
		for _, k := range b.settings {
			if t := int((k.Fence - s.m.FenceLo) / s.m.Step); t < lo || t > hi || worthOf(k.Worth()) != top.Worth ||
				k.Dev != top.Dev || k.Area != top.Area || k.Blades != top.Blades {
				continue
			}
			if least < 0 || least > k.Travel {
				b.Fatalf("seed %d: plans of fences %d to %d travel %d at least, but one %d", b.seed, lo, hi, least, k.Travel)
			}
			b.counts["travel"]++
			if least == k.Travel {
				b.counts["travel, reached"]++
			}
		}
	}
}

// labels checks the same with exact amounts of all caps, if some plan is worth most.
func (b *bounding) labels(most int64) {
	const few = 1 << 12
	s := b.solver
	x := &exact{solver: s, least: most - s.profile.Slack, room: few}
	for c := range s.m.Caps {
		x.caps = append(x.caps, c)
	}
	if b.seed%2 == 0 || most < 0 || s.m.Board.StraightNear || len(s.between.spans) > 0 || len(x.caps) == 0 || len(x.caps) > layered.MostCaps {
		return
	}
	x.survey()
	x.release()
	switch {
	case x.room < 0: // too many
		return
	case len(x.fences) == 0:
		b.Fatalf("seed %d: no labels reach %d, but there is a plan", b.seed, most)
	}
	w := nearest{exact: x}
	r := rand.New(rand.NewPCG(uint64(b.seed), 7))
	for range 4 {
		lo := r.IntN(len(x.fences))
		some := x.fences[lo : lo+1+r.IntN(len(x.fences)-lo)]
		x.room = few
		least := w.least(some)
		if x.room < 0 {
			continue
		}
		for _, k := range b.settings {
			t := int((k.Fence - s.m.FenceLo) / s.m.Step)
			if _, is := slices.BinarySearch(some, t); !is || worthOf(k.Worth()) != x.top.Worth ||
				k.Dev != x.top.Dev || k.Area != x.top.Area || k.Blades != x.top.Blades {
				continue
			}
			if least > k.Travel {
				b.Fatalf("seed %d: plans with exact amounts at %d fences travel %d at least, but one %d", b.seed, len(some), least, k.Travel)
			}
			b.counts["labels' travel"]++
			if least == k.Travel {
				b.counts["labels' travel, reached"]++
			}
		}
	}
}

// Every single bound of this search is never below the best plan of any setting for which
// it stands, with caps kept by states, coarse, fine or not, with and without travels,
// over all fences, some and one.
func TestBounds(t *testing.T) {
	counts := map[string]int{}
	n := drawn.Number(t, 3000)
	for seed, done := drawn.From(t), 0; done < n; seed++ {
		p := drawn.Draw(seed, 0)
		if p.Price = 0; !drawn.Valid(p) || !Serves(&p.Board, &p.Saw) {
			continue
		}
		all, ok := oracle.Solve(p, drawn.Most)
		m := model.New(&p.Board, &p.Saw, p.Items)
		if !ok {
			continue
		}
		done++
		r := rand.New(rand.NewPCG(uint64(seed), 5))
		b := &bounding{T: t, solver: newSolver(m, budget.New(budget.Limits{}), new(scratch)), seed: seed, settings: all.Settings, counts: counts}
		if r.IntN(2) == 0 {
			for c := range m.Caps {
				for range 1 + r.IntN(3) {
					b.keep([]int{c})
				}
			}
		}
		last := m.Fences() - 1
		b.within(0, last, false)
		b.within(0, last, true)
		from := r.IntN(last + 1)
		b.within(from, from+r.IntN(last-from+1), true)
		b.within(from, from, true)
	}
	t.Log(counts)
	for _, what := range []string{"a fence", "the first fence", "a fence with spans loosely", "a fence with spans by rows", "a fence with spans worked out", "a board that lies anywhere", "travel", "labels' travel"} {
		if counts[what+", reached"] == 0 {
			t.Errorf("%s: never reached, so it may be as high as it likes", what)
		}
	}
}
