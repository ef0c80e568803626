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
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/testdata/brief"
)

// Loose bounds of a span, by room and by what it brings if it is clear, are never below
// what its tables give at a fence, and these equal what trying every strip gives; so do
// the halves if the span is open.
func TestSpan(t *testing.T) {
	loose, tight, off, whole := 0, 0, 0, 0
	halves := [2]int{}
	for seed, tried := int64(1), 0; tried < brief.Fewer(1500); seed++ {
		p := drawn.Draw(seed, 0)
		if p.Saw.Kerf == 0 {
			continue
		}
		r := rand.New(rand.NewPCG(uint64(seed), 9))
		between := func() unit.Length {
			return unit.Length(r.Int64N(int64(p.Saw.Step/unit.Micrometre))) * unit.Micrometre * unit.Length(r.IntN(2))
		}
		at := p.Saw.StepUp(p.Saw.Fence.Min) + p.Saw.Step*unit.Length(r.IntN(6)-2)
		n := 1 + r.IntN(2)
		apart := p.Saw.StepUp(p.Saw.Kerf + p.Saw.Gap)
		end := at + (apart+p.Saw.Step)*unit.Length(n+1) + p.Saw.Step*unit.Length(r.IntN(10))
		blades := []saw.Blade{{At: at + between()}}
		own := saw.Travel{Min: at, Max: end, Current: at}
		if r.IntN(3) == 0 {
			own.Min += p.Saw.Step * unit.Length(r.IntN(5))
			own.Current = own.Min
		}
		if r.IntN(3) == 0 {
			own.Max -= min(p.Saw.Step*unit.Length(r.IntN(5)), end-own.Min-apart*unit.Length(n))
		}
		for range n {
			blades = append(blades, saw.Blade{Moving: true, Travel: own})
		}
		p.Saw.Blades = append(blades, saw.Blade{At: end + between()})
		p.Saw.Fence.Max = p.Saw.Fence.Min + p.Saw.Step*12
		m := model.New(&p.Board, &p.Saw, p.Items)
		if !m.Gapless || slices.ContainsFunc(m.Blades, func(b model.Blade) bool { return b.Lo > b.Hi }) {
			continue
		}
		tried++
		profile := costtogo.NewProfile(m, new(costtogo.Buffer), budget.New(budget.Limits{}))
		s := costtogo.NewSpan(profile, 0, n+1)
		half := [2]*costtogo.Side{s.Half(false), s.Half(true)}
		profile.Keep()
		known := int64(-1)
		type seen struct {
			stop int
			most int64
		}
		var all []seen
		for k := range m.Fences() {
			profile.Release()
			f := m.Fence(k)
			s.Within(f, f, true)
			if !s.Build(resource.New(m)) {
				t.Fatal("no tables")
			}
			near, _ := s.Entries(k)
			got := s.At(n+1, 0, int(near))
			exact := profile.Up(filled(m, f, 0))
			if got < exact || got > exact+profile.Slack {
				t.Fatalf("seed %d, fence %d: %d, exactly %d", seed, f, got, exact)
			}
			if s.Clear(k) {
				known = got
			}
			all = append(all, seen{k, got})
			right, left := s.Open(k)
			for k, open := range []bool{right, left} {
				if !open {
					continue
				}
				halves[k]++
				h := half[k]
				h.Within(f, f, false)
				h.Wide()
				if !h.Build(resource.New(m)) {
					t.Fatal("no tables")
				}
				if got := h.At(h.Moving, 0, h.Entry(m.Blades[h.Root].Lo-f)); got < exact || got > exact+profile.Slack {
					t.Fatalf("seed %d, fence %d, half %d: %d, exactly %d", seed, f, k, got, exact)
				}
			}
		}
		if known >= 0 {
			whole++
		}
		if m.Blades[0].Lo%m.Step != 0 || m.Blades[n+1].Lo%m.Step != 0 {
			off++
		}
		for _, x := range all {
			for _, k := range []int64{-1, known} {
				got := s.Loose(x.stop, k)
				if got < x.most-profile.Slack {
					t.Fatalf("seed %d, stop %d, known %d: bound %d, %d can be had", seed, x.stop, k, got, x.most)
				}
				if loose++; got <= x.most+profile.Slack {
					tight++
				}
			}
		}
	}
	t.Log(loose, tight, off, whole, halves)
	if min(halves[0], halves[1]) < brief.Fewer(300) {
		t.Errorf("open at %v fences", halves)
	}
	if off < brief.Fewer(500) || whole < brief.Fewer(50) || tight*5 < loose {
		t.Errorf("of %d bounds %d tight; %d spans off the step, %d clear somewhere", loose, tight, off, whole)
	}
}

// filled is the most that can be cut beyond blade j, at a fence, found by trying every
// stop.
func filled(m *model.Model, fence int64, j int) unit.Worth { return fill(m, fence, j, m.Blades[0].Lo) }

func fill(m *model.Model, fence int64, j int, at int64) (best unit.Worth) {
	if j == len(m.Blades)-1 {
		return best
	}
	b := &m.Blades[j+1]
	best = unit.Worth{Hi: -1}
	for x := b.Lo; x <= b.Hi; x += m.Step {
		if x-at-m.Kerf < m.Gap {
			continue
		}
		v := fill(m, fence, j+1, x)
		if v.Hi < 0 {
			continue
		}
		if lo, hi := at+m.Kerf-fence, x-fence; hi > 0 || !m.Board.StraightNear {
			if m.Board.StraightNear {
				lo = max(lo, 0)
			}
			v = v.Add(strip(m, lo, hi))
		}
		if v.Cmp(best) > 0 {
			best = v
		}
	}
	return best
}
