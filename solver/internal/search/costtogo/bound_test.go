package costtogo_test

import (
	"testing"

	"github.com/ripwright/ripwright/solver/internal/drawn"
	"github.com/ripwright/ripwright/solver/internal/search/budget"
	"github.com/ripwright/ripwright/solver/internal/search/costtogo"
	"github.com/ripwright/ripwright/solver/internal/search/model"
	"github.com/ripwright/ripwright/solver/internal/search/resource"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/testdata/brief"
)

// strip is the worth of the most valuable strip of a band.
func strip(m *model.Model, lo, hi int64) (most unit.Worth) {
	for w := range m.Wants {
		x := &m.Wants[w]
		if hi-lo < x.Lo || hi-lo > x.Hi {
			continue
		}
		if c := m.Cut(x, lo, hi); c.N > 0 {
			if v := x.Worth(hi-lo, c); v.Cmp(most) > 0 {
				most = v
			}
		}
	}
	return most
}

// before is naive for a blade that stands before the board, where the face of the fence
// may begin a strip.
func before(m *model.Model, s *costtogo.Side, k, i int, known map[[2]int]unit.Worth) (best unit.Worth) {
	for e := max(i+s.Apart(k), 0); k > 0 && e < s.P.N; e++ {
		v := naive(m, s, k-1, e, known)
		if s.Starts() {
			v = v.Add(strip(m, 0, s.Y(k-1, e)))
		}
		if v.Cmp(best) > 0 {
			best = v
		}
	}
	return best
}

// naive is the most that k moving blades can bring beyond a blade at an entry, computed
// strip by strip from the board itself, without travels and caps.
func naive(m *model.Model, s *costtogo.Side, k, i int, known map[[2]int]unit.Worth) unit.Worth {
	if v, ok := known[[2]int{k, i}]; ok {
		return v
	}
	best := unit.Worth{}
	if s.Ends() { // at the face of the fence
		best = strip(m, 0, s.Y(k, i))
	}
	for e := i + s.Apart(k); k > 0 && e < s.P.N; e++ {
		beyond := naive(m, s, k-1, e, known)
		lo, hi := s.Y(k, i)+m.Kerf, s.Y(k-1, e)
		if s.Left {
			lo, hi = s.Y(k-1, e)+m.Kerf, s.Y(k, i)
		}
		if v := strip(m, lo, hi).Add(beyond); v.Cmp(best) > 0 {
			best = v
		}
	}
	known[[2]int{k, i}] = best
	return best
}

// The tables of both sides are never below what is possible, and above it by rounding at
// most.
func TestBounds(t *testing.T) {
	tried := 0
	for seed := int64(1); tried < brief.Fewer(300); seed++ {
		p := drawn.Draw(seed, 0)
		if p.Saw.Kerf == 0 {
			continue
		}
		m := model.New(&p.Board, &p.Saw, p.Items)
		if !m.Gapless {
			continue
		}
		tried++
		moving := min(len(m.Blades), 3)
		profile := costtogo.NewProfile(m, new(costtogo.Buffer), budget.New(budget.Limits{}))
		for _, left := range []bool{false, true} {
			s := costtogo.NewSide(profile, left, moving)
			if !s.Build(resource.New(m)) {
				t.Fatal("no tables")
			}
			known := map[[2]int]unit.Worth{}
			least := 0
			for k := moving; k >= 0; k-- {
				if k < moving {
					least += s.Apart(k + 1)
				}
				for i := least; i < profile.N; i++ {
					if k == moving && i < s.First() {
						continue
					}
					exact, got := profile.Up(naive(m, s, k, i, known)), s.At(k, 0, i)
					if got < exact || got > exact+profile.Slack {
						t.Fatalf("seed %d, left %v, %d blades, entry %d: %d, exactly %d (slack %d)", seed, left, k, i, got, exact, profile.Slack)
					}
				}
			}
			for i := range s.First() {
				exact, got := profile.Up(before(m, s, moving, i, known)), s.At(moving, 0, i)
				if got < exact || got > exact+profile.Slack {
					t.Fatalf("seed %d, left %v, before the board, entry %d: %d, exactly %d (slack %d)", seed, left, i, got, exact, profile.Slack)
				}
			}
		}
	}
}

// Coarse units never state less than the worth.
func TestCoarse(t *testing.T) {
	for seed := int64(1); seed < int64(brief.Fewer(200)); seed++ {
		p := drawn.Draw(seed, 0)
		m := model.New(&p.Board, &p.Saw, p.Items)
		profile := costtogo.NewProfile(m, new(costtogo.Buffer), budget.New(budget.Limits{}))
		for i := range m.Wants {
			w := m.Wants[i].Worth(m.Wants[i].Hi, m.Wants[i].Full)
			up, down := profile.Up(w), profile.Down(w)
			if profile.Worth(up).Cmp(w) < 0 || profile.Worth(down).Cmp(w) > 0 || up-down > 1 {
				t.Errorf("seed %d: %v lies between %v and %v", seed, w, profile.Worth(down), profile.Worth(up))
			}
		}
	}
}
