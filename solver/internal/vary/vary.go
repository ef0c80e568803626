// Package vary changes problems at random, to look for errors near one that was found.
// Only tests import it.
package vary

import (
	"math/rand/v2"
	"slices"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// Of gives a problem similar to another, the same for the same seed: it changes heights
// and places of stations, places and travels of blades and fence, widths, values and
// caps. The result is valid and small enough to try every setting.
func Of(p *rip.Problem, seed uint64) *rip.Problem {
	r := rand.New(rand.NewPCG(seed, 0x5eed))
	for {
		q := &rip.Problem{Board: p.Board, Saw: p.Saw, Items: order.CloneItems(p.Items)}
		q.Board.Stations, q.Saw.Blades = slices.Clone(p.Board.Stations), slices.Clone(p.Saw.Blades)
		q.Board.Defects = slices.Clone(p.Board.Defects)
		v := variation{r, q, 1 << (1 + r.IntN(5))}
		v.board()
		v.saw()
		for i := range q.Items {
			v.item(i)
		}
		v.shrink()
		if len(q.Faults()) == 0 {
			return q
		}
	}
}

// variation changes about one thing in as many as odds says.
type variation struct {
	*rand.Rand
	p    *rip.Problem
	odds int
}

func (v *variation) maybe() bool { return v.IntN(v.odds) == 0 }

func (v *variation) seldom() bool { return v.IntN(4*v.odds) == 0 }

// about gives up to n either way.
func (v *variation) about(n int64) unit.Length { return unit.Length(v.Int64N(2*n+1) - n) }

// steps gives up to n steps of the saw either way, whole ones mostly.
func (v *variation) steps(n int64) unit.Length {
	if v.IntN(4) > 0 {
		return v.about(n) * v.p.Saw.Step
	}
	return v.about(n * int64(v.p.Saw.Step))
}

func (v *variation) board() {
	b := &v.p.Board
	across := int64(b.GreatestWidth() / 4)
	if v.seldom() {
		b.Length += v.about(int64(b.Length / 10))
	}
	var all []wood.Station
	for i, s := range b.Stations {
		if n := len(b.Stations); v.maybe() && i > 0 && i < n-1 {
			s.X += v.about(int64(b.Length) / int64(2*n))
		}
		s.X = min(max(s.X, 0), b.Length)
		if v.maybe() && !b.StraightNear {
			s.Near = max(s.Near+v.about(across/2), 0)
			if v.IntN(3) == 0 {
				s.Near = 0
			}
		}
		if v.maybe() {
			s.Far += v.about(across)
		}
		if s.Far = max(s.Far, s.Near); !v.seldom() || len(all) == 0 {
			all = append(all, s)
		}
	}
	for i := range b.Defects {
		d := &b.Defects[i]
		if x := v.about(across); v.maybe() {
			d.FromY, d.ToY = d.FromY+x, d.ToY+x
		}
		if x := v.about(int64(b.Length) / 4); v.maybe() {
			d.FromX = min(max(d.FromX+x, 0), b.Length-1)
			d.ToX = min(max(d.ToX+x, d.FromX+1), b.Length)
		}
		d.ToX = min(d.ToX, b.Length)
	}
	slices.SortFunc(all, func(a, b wood.Station) int { return int(a.X - b.X) })
	b.Stations = slices.CompactFunc(all, func(a, b wood.Station) bool { return a.X == b.X })
}

func (v *variation) saw() {
	s := &v.p.Saw
	if v.seldom() {
		s.Kerf = unit.Length(v.IntN(5)) * s.Step / 4
	}
	if v.seldom() {
		s.Trim = unit.Length(v.IntN(3)) * s.Step / 4
	}
	v.travel(&s.Fence)
	for i := range s.Blades {
		switch b := &s.Blades[i]; {
		case b.Moving:
			v.travel(&b.Travel)
		case v.maybe():
			b.At += v.steps(2)
		}
	}
}

func (v *variation) travel(t *saw.Travel) {
	if v.maybe() {
		d := v.steps(3)
		t.Min, t.Max = t.Min+d, t.Max+d
	}
	if v.maybe() {
		t.Max = max(t.Max+v.steps(2), t.Min)
	}
	t.Current = min(max(t.Current, t.Min), t.Max)
	if v.maybe() {
		t.Current = t.Min + unit.Length(v.Int64N(int64(t.Max-t.Min)+1))
	}
}

func (v *variation) item(i int) {
	it, p := &v.p.Items[i], v.p
	if v.maybe() {
		d := v.steps(1) / 2
		it.Min += d
		if it.Max += d; it.Random && v.maybe() {
			it.Max = max(it.Max+v.steps(2), it.Min)
		}
	}
	if v.maybe() {
		switch v.IntN(3) {
		case 0:
			it.Value = p.Items[v.IntN(len(p.Items))].Value
		case 1:
			it.Value = max(it.Value+int64(v.about(it.Value/4)), 0)
		default:
			it.Value = 1_000_000 * (1 + v.Int64N(4))
		}
	}
	if !it.Random && v.seldom() {
		it.Tolerance = unit.Length(v.IntN(5)) * p.Saw.Step / 4
	}
	if v.seldom() {
		it.LeastLength = unit.Length(v.Int64N(int64(p.Board.Length)))
	}
	if v.maybe() {
		v.cap(it)
	}
}

// cap makes an item want a few strips, more or less, or any number.
func (v *variation) cap(it *order.Item) {
	it.Made = 0
	if v.IntN(5) == 0 {
		it.Measure, it.Required, it.PieceLength = order.Unlimited, 0, 0
		return
	}
	strip := int64(v.p.Board.Length / 1000)
	it.Measure = order.ByLength
	if it.Random {
		it.Measure = order.ByArea
		strip *= int64(it.Min) / 1000
	}
	if v.IntN(5) == 0 {
		it.Measure, strip = order.ByPieces, 1
	}
	it.Required = strip * (1 + v.Int64N(3)) // so that strips end within a micrometre of what is open
	switch v.IntN(4) {
	case 0:
		it.Required += v.Int64N(3) - 1
	case 1, 2:
		it.Required = 1 + v.Int64N(it.Required)
	}
	if it.Made = 0; v.IntN(3) == 0 {
		it.Made = v.Int64N(it.Required + 1)
	}
}

// mostTries limits how many assignments to pockets brute force tries; most are ruled out
// by the first strip that does not fit.
const mostTries = 60_000

// shrink removes stops and items until every setting can be tried.
func (v *variation) shrink() {
	s := &v.p.Saw
	for {
		tries, widest := v.stops(&s.Fence)*int64(2*(s.Skew/s.Step)+1), &s.Fence
		for i := range s.Blades {
			if t := &s.Blades[i].Travel; s.Blades[i].Moving {
				tries *= v.stops(t)
				if v.stops(t) > v.stops(widest) {
					widest = t
				}
			}
		}
		settings := tries
		pockets := len(s.Blades) - 1
		if v.p.Board.StraightNear {
			pockets++
		}
		for range pockets {
			tries *= int64(len(v.p.Items) + 1)
		}
		switch {
		case tries <= mostTries:
			return
		case settings > 200 || len(v.p.Items) == 1 && v.stops(widest) > 1:
			half := (widest.Max - widest.Min) / 2
			if v.IntN(2) == 0 {
				widest.Min += half
			} else {
				widest.Max -= half
			}
			widest.Current = min(max(widest.Current, widest.Min), widest.Max)
		case len(v.p.Items) > 1:
			i := v.IntN(len(v.p.Items))
			v.p.Items = slices.Delete(v.p.Items, i, i+1)
		default:
			return
		}
	}
}

func (v *variation) stops(t *saw.Travel) int64 {
	return max(int64((v.p.Saw.StepDown(t.Max)-v.p.Saw.StepUp(t.Min))/v.p.Saw.Step)+1, 1)
}
