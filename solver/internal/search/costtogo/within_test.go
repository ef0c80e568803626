package costtogo_test

import (
	"slices"
	"testing"

	"github.com/ripwright/ripwright/solver/internal/oracle"
	"github.com/ripwright/ripwright/solver/internal/search/costtogo"
	"github.com/ripwright/ripwright/solver/internal/search/model"
	"github.com/ripwright/ripwright/solver/unit"
)

// Tables that take travels into account, with states of caps, are never below what is
// possible beyond any blade of a side, wherever it can stand at any fence of an interval
// and whatever the caps leave; over one fence they exceed it by rounding at most.
func TestWithin(t *testing.T) {
	compared, met := 0, 0
	suits := func(x *sided) bool {
		// A side has fixed blades only before all others; here some stand among them, as
		// blades that move to one stop.
		off := func(b model.Blade) bool { return !b.Moving && b.Lo%x.m.Step != 0 }
		return !slices.ContainsFunc(x.m.Blades, off) && x.right%x.m.Step == 0 && x.left%x.m.Step == 0
	}
	tried, kept := sides(1000, 4, func(*oracle.Problem, *sided) {}, suits, func(x *sided) {
		r, m, states, profile, moving := x.r, x.m, x.states, x.profile, x.moving
		from := r.IntN(m.Fences())
		by := r.IntN(2) * r.IntN(min(m.Fences()-from, 6))
		for _, is := range []bool{false, true} {
			at, away := x.root(is), m.Step*m.Spread()
			if is {
				away = -away
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
				// beyond compares what lies beyond a blade at a with k to come.
				beyond := func(k int, a int64) {
					e := s.Entry(a - f)
					exact := exactly.most(k, a, st)
					if exact.Hi < 0 || k < moving && (e < 0 || e >= profile.N) {
						return
					}
					got, v := s.At(k, st, e), profile.Up(exact)
					if got < v || by == 0 && got > v+profile.Slack {
						t.Fatalf("seed %d, left %v, fence %d of %d, %d blades beyond %d, state %d: %d, exactly %d (slack %d)", x.seed, is, d, by, k, a, st, got, v, profile.Slack)
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
					for a := m.StopUp(b.Lo); a <= b.Hi; a += m.Step {
						if near := at + int64(moving-k)*away; is && a <= near || !is && a >= near {
							beyond(k, a)
						}
					}
				}
			}
		}
	})
	if kept < tried/20 || compared < 2*tried || met*2 < compared {
		t.Errorf("of %d problems %d with states; of %d places with worth beyond %d met exactly", tried, kept, compared, met)
	}
}
