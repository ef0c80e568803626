package costtogo_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/ripwright/ripwright/solver/internal/drawn"
	"github.com/ripwright/ripwright/solver/internal/search/budget"
	"github.com/ripwright/ripwright/solver/internal/search/costtogo"
	"github.com/ripwright/ripwright/solver/internal/search/model"
	"github.com/ripwright/ripwright/solver/internal/search/resource"
	"github.com/ripwright/ripwright/solver/unit"
)

// Tables that heed travels, with states of caps, are never below what can be had beyond
// any blade of a side, wherever it can stand at any fence of an interval and whatever
// the caps leave; over one fence they exceed it by what rounding adds at most.
func TestWithin(t *testing.T) {
	tried, kept, compared, met := 0, 0, 0, 0
	for seed := int64(1); tried < 1000; seed++ {
		p := drawn.Draw(seed, 0)
		p.Board.StraightNear, p.Board.Defects = false, nil
		if p.Saw.Kerf == 0 {
			continue
		}
		r := rand.New(rand.NewPCG(uint64(seed), 4))
		m := model.New(&p.Board, &p.Saw, p.Items)
		moving := min(len(m.Blades)-1, 3)
		right, left := m.Blades[len(m.Blades)-1-moving].Lo, m.Blades[moving].Lo
		// A side has fixed blades nowhere but before all others; here some stand among them,
		// as blades that move to one stop.
		off := func(b model.Blade) bool { return !b.Moving && b.Lo%m.Step != 0 }
		if !m.Gapless || m.Fences() < 2 || slices.ContainsFunc(m.Blades, off) || right%m.Step != 0 || left%m.Step != 0 {
			continue
		}
		tried++
		states := resource.New(m)
		for c := range m.Caps {
			for range 1 + r.IntN(3) {
				states.Keep(c, 40)
			}
		}
		if states.Count > 1 {
			kept++
		}
		profile := costtogo.NewProfile(m, new(costtogo.Buffer), budget.New(budget.Limits{}))
		from := r.IntN(m.Fences())
		by := r.IntN(2) * r.IntN(min(m.Fences()-from, 6))
		for _, is := range []bool{false, true} {
			at, away := right, m.Step*m.Spread()
			if is {
				at, away = left, -away
			}
			s := costtogo.NewSide(profile, is, moving)
			s.Within(m.Fence(from), m.Fence(from+by), true)
			if !s.Build(states) {
				t.Fatal("no tables")
			}
			st := r.IntN(states.Count)
			for d := range by + 1 {
				f := m.Fence(from + d)
				exactly := &set{m, states, is, f, map[[3]int64]unit.Worth{}}
				// beyond compares what lies beyond a blade at x with k to come.
				beyond := func(k int, x int64) {
					e := s.Entry(x - f)
					exact := exactly.most(k, x, st)
					if exact.Hi < 0 || k < moving && (e < 0 || e >= profile.N) {
						return
					}
					got, v := s.At(k, st, e), profile.Up(exact)
					if got < v || by == 0 && got > v+profile.Slack {
						t.Fatalf("seed %d, left %v, fence %d of %d, %d blades beyond %d, state %d: %d, exactly %d (slack %d)", seed, is, d, by, k, x, st, got, v, profile.Slack)
					}
					if v > 0 {
						compared++
						if got <= v+profile.Slack {
							met++
						}
					}
				}
				beyond(moving, at)
				for k := range moving {
					b := &m.Blades[len(m.Blades)-1-k]
					if is {
						b = &m.Blades[k]
					}
					for x := m.StopUp(b.Lo); x <= b.Hi; x += m.Step {
						if near := at + int64(moving-k)*away; is && x <= near || !is && x >= near {
							beyond(k, x)
						}
					}
				}
			}
		}
	}
	if kept < tried/20 || compared < 2*tried || met*2 < compared {
		t.Errorf("of %d problems %d with states; of %d places with worth beyond %d met exactly", tried, kept, compared, met)
	}
}
