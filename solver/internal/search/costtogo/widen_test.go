package costtogo_test

import (
	"testing"

	"github.com/ripwright/ripwright/solver/internal/oracle"
	"github.com/ripwright/ripwright/solver/internal/search/costtogo"
	"github.com/ripwright/ripwright/solver/internal/search/model"
	"github.com/ripwright/ripwright/solver/internal/search/resource"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/testdata/brief"
)

// set is the most that the last k of the moving blades of a side can bring beyond one at
// a, over the stops that their travels allow at one fence; below 0 if they cannot stand.
// State is what the caps leave them.
type set struct {
	m      *model.Model
	states *resource.States
	left   bool
	fence  int64
	known  map[[3]int64]unit.Worth
}

func (s *set) most(k int, a int64, state int) unit.Worth {
	key := [3]int64{int64(k), a, int64(state)}
	if v, ok := s.known[key]; ok || k == 0 {
		return v
	}
	m := s.m
	b := &m.Blades[len(m.Blades)-k]
	if s.left {
		b = &m.Blades[k-1]
	}
	best := unit.Worth{Hi: -1}
	for x := b.Lo; x <= b.Hi; x += m.Step {
		lo, hi := a+m.Kerf-s.fence, x-s.fence
		if s.left {
			lo, hi = x+m.Kerf-s.fence, a-s.fence
		}
		if hi-lo < m.Gap {
			continue
		}
		offer := func(v unit.Worth, to int) {
			if c := s.most(k-1, x, to); c.Hi >= 0 {
				if c = c.Add(v); c.Cmp(best) > 0 {
					best = c
				}
			}
		}
		offer(unit.Worth{}, state)
		for w := range m.Wants {
			y := &m.Wants[w]
			if hi-lo < y.Lo || hi-lo > y.Hi {
				continue
			}
			if c := m.Cut(y, lo, hi); c.N > 0 {
				s.states.After(state, y, hi-lo, c.N, func(to int) { offer(y.Worth(hi-lo, c), to) })
			}
		}
	}
	s.known[key] = best
	return best
}

// Tables over a board that lies anywhere in an interval are never below what any of its
// fences allows, and mostly exceed the most of them by rounding at most.
func TestWidened(t *testing.T) {
	several, met := 0, 0
	change := func(p *oracle.Problem, x *sided) {
		r := x.r
		for i := range p.Items { // short strips too, and caps that affect only some of them
			if it := &p.Items[i]; r.IntN(2) == 0 && len(it.Cuts) == 0 {
				it.Measure, it.Made = order.ByLength, 0
				it.Required = int64(p.Board.Length) / 1000 * int64(2+r.IntN(8)) / 10
				it.LeastLength /= 5
			}
		}
		if lo, _, _, hi := p.Board.Span(); r.IntN(2) == 0 { // one edge is clear
			for i := range p.Board.Stations {
				if st := &p.Board.Stations[i]; x.seed%2 == 0 {
					st.Near = lo
				} else {
					st.Far = hi
				}
			}
		}
		// An edge of the board lies near some blade.
		near, _, _, far := p.Board.Span()
		b := &p.Saw.Blades[r.IntN(len(p.Saw.Blades))]
		at := b.At
		if b.Moving {
			at = []unit.Length{b.Travel.Min, b.Travel.Max}[r.IntN(2)]
		}
		p.Saw.Fence.Min = p.Saw.StepUp(at - []unit.Length{near, far}[r.IntN(2)] - p.Saw.Step*unit.Length(r.IntN(8)))
		p.Saw.Fence.Max = p.Saw.Fence.Min + p.Saw.Step*unit.Length(r.IntN(9))
	}
	_, kept := sides(12000, 3, change, func(*sided) bool { return true }, func(x *sided) {
		r, m, states, profile, moving := x.r, x.m, x.states, x.profile, x.moving
		for _, left := range []bool{false, true} {
			costtogo.NewSide(profile, left, moving)
		}
		profile.Keep()
		from := r.IntN(m.Fences())
		by := r.IntN(min(m.Fences()-from, 8))
		w := profile.Widened(by, states.Count > 1)
		for _, left := range []bool{false, true} {
			at := x.root(left)
			stops := true // the ends of the side may stand between some
			for j := range m.Blades {
				root := j == len(m.Blades)-1-moving && !left || left && j == moving
				stops = stops && (root || !left && j == len(m.Blades)-1 || m.Blades[j].Lo%m.Step == 0)
			}
			if !stops {
				continue
			}
			s := costtogo.NewSide(w, left, moving)
			s.Within(m.Fence(from), m.Fence(from), true)
			if !s.Build(states) {
				t.Fatal("no tables")
			}
			st := r.IntN(states.Count)
			got := s.At(moving, st, s.Entry(at-m.Fence(from)))
			top := int64(-1)
			for k := range by + 1 {
				f := m.Fence(from + k)
				exact := (&set{m, states, left, f, map[[3]int64]unit.Worth{}}).most(moving, at, st)
				if exact.Hi < 0 {
					continue
				}
				v := profile.Up(exact)
				if top = max(top, v); got < v {
					t.Fatalf("seed %d, left %v, fence %d of %d: %d, exactly %d", x.seed, left, k, by, got, v)
				}
			}
			if by > 0 && top > 0 && m.Plain() && !m.Crosscuts() { // which it takes as if they left all
				if several++; got <= top+profile.Slack {
					met++
				}
			}
		}
	})
	t.Logf("%d with states; of %d intervals with worth %d met exactly", kept, several, met)
	if kept < brief.Fewer(400) || several < brief.Fewer(1000) || met*3 < several*2 {
		t.Errorf("%d with states; of %d intervals with worth %d met exactly", kept, several, met)
	}
}
