package model

import (
	"cmp"
	"slices"

	"github.com/ripwright/ripwright/solver/unit"
)

// Score is what plans and parts of plans are compared by, in the order of its
// fields: the greatest worth, the least deviation, the greatest area of strips,
// the fewest blades in the wood, the least travel.
type Score struct {
	Worth                     unit.Worth
	Dev, Area, Blades, Travel int64
}

// Plus gives a + b.
func (a Score) Plus(b Score) Score {
	return Score{a.Worth.Add(b.Worth), a.Dev + b.Dev, a.Area + b.Area, a.Blades + b.Blades, a.Travel + b.Travel}
}

// Add is Plus in place; adding parts is the most frequent operation of a search.
func (a *Score) Add(b *Score) {
	a.Worth = a.Worth.Add(b.Worth)
	a.Dev += b.Dev
	a.Area += b.Area
	a.Blades += b.Blades
	a.Travel += b.Travel
}

// Minus gives a - b.
func (a Score) Minus(b Score) Score {
	return Score{a.Worth.Sub(b.Worth), a.Dev - b.Dev, a.Area - b.Area, a.Blades - b.Blades, a.Travel - b.Travel}
}

// Cmp is above 0 if a is the better score.
func (a *Score) Cmp(b *Score) int {
	if c := a.Worth.Cmp(b.Worth); c != 0 {
		return c
	}
	switch {
	case a.Dev != b.Dev:
		return cmp.Compare(b.Dev, a.Dev)
	case a.Area != b.Area:
		return cmp.Compare(a.Area, b.Area)
	case a.Blades != b.Blades:
		return cmp.Compare(b.Blades, a.Blades)
	}
	return cmp.Compare(b.Travel, a.Travel)
}

// IsZero reports whether a is the score of nothing.
func (a *Score) IsZero() bool { return *a == Score{} }

// Plan is where fence and blades stand, and the want, or None, in each pocket between
// neighbouring blades; if the near edge is straight, the pocket between the face of the
// fence and blade 0 comes first. Wood before the face is in no pocket.
type Plan struct {
	Score  Score
	Skew   int64
	Fence  int64
	Blades []int64
	Wants  []int
}

// Compare is below 0 if plan a comes before b in the order of all plans: it is better, or
// equally good and first by skew, fence, blades and wants, the latter two in
// lexicographic order.
func (a *Plan) Compare(b *Plan) int {
	return cmp.Or(b.Score.Cmp(&a.Score), cmp.Compare(a.Skew, b.Skew), cmp.Compare(a.Fence, b.Fence),
		slices.Compare(a.Blades, b.Blades), CompareWants(a.Wants, b.Wants))
}

// Before reports whether plan a comes before b.
func (a *Plan) Before(b *Plan) bool { return a.Compare(b) < 0 }

// CompareWants compares the wants of pockets in lexicographic order. None comes after
// every want.
func CompareWants[W int | int16](a, b []W) int {
	return slices.CompareFunc(a, b, func(x, y W) int { return cmp.Compare(uint(x), uint(y)) })
}

// Pocket gives the edges of a plan's pocket k.
func (m *Model) Pocket(p *Plan, k int) (left, right int64) {
	if !m.Board.StraightNear {
		return p.Blades[k] + m.Kerf - p.Fence, p.Blades[k+1] - p.Fence
	}
	if k > 0 {
		left = max(p.Blades[k-1]+m.Kerf-p.Fence, 0)
	}
	return left, p.Blades[k] - p.Fence
}

// Rate scores a plan from its positions and wants alone. It reports false if the plan
// breaks a rule of the saw, a width does not fit, a strip has no counted run or a cap is
// overrun by more than the last strip.
func (m *Model) Rate(p *Plan) (Score, bool) {
	over, sc, ok := m.rate(p)
	return sc, ok && len(over) == 0
}

// Overrun lists the caps that a plan breaks, if it keeps all other rules.
func (m *Model) Overrun(p *Plan) []int {
	over, _, _ := m.rate(p)
	return over
}

func (m *Model) rate(p *Plan) (over []int, sc Score, ok bool) {
	if len(p.Blades) != len(m.Blades) || p.Fence < m.FenceLo || p.Fence > m.FenceHi || p.Fence%m.Step != 0 {
		return nil, sc, false
	}
	sc.Travel = max(p.Fence-m.Fence0, m.Fence0-p.Fence)
	for j, a := range p.Blades {
		b := &m.Blades[j]
		if a < b.Lo || a > b.Hi || b.Moving && a%m.Step != 0 || j > 0 && a-p.Blades[j-1]-m.Kerf < m.Gap {
			return nil, sc, false
		}
		if b.Moving {
			sc.Travel += max(a-b.Current, b.Current-a)
		}
		if m.Board.Meets(unit.Length(a-p.Fence), unit.Length(a-p.Fence+m.Kerf)) {
			sc.Blades++
		}
	}
	sum, largest := make([]int64, m.Caps), make([]int64, m.Caps)
	for k, i := range p.Wants {
		if i == None {
			continue
		}
		w := &m.Wants[i]
		left, right := m.Pocket(p, k)
		width := right - left
		c := m.Cut(w, left, right)
		if width < w.Lo || width > w.Hi || c.N == 0 {
			return nil, sc, false
		}
		sc = sc.Plus(w.Strip(width, c))
		if w.Cap >= 0 {
			a := w.Amount(width, c)
			sum[w.Cap] += a
			largest[w.Cap] = max(largest[w.Cap], a)
		}
	}
	for i := range m.Wants {
		if w := &m.Wants[i]; w.Cap >= 0 && sum[w.Cap]-largest[w.Cap] >= w.Open {
			over = append(over, w.Cap)
		}
	}
	return over, sc, true
}
