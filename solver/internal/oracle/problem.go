package oracle

import (
	"fmt"
	"math/rand"
	"sort"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// Problem makes a small random problem from a seed; not all of them are valid.
func Problem(seed int64) *rip.Problem {
	r := rand.New(rand.NewSource(seed))
	M := int64(1e6)
	mmr := func(lo, hi int64) unit.Length { return unit.Length((lo + r.Int63n(hi-lo+1)) * M) }
	step := []int64{4, 5, 8, 10}[r.Intn(4)]
	b := wood.Board{Length: mmr(300, 900)}
	if r.Intn(5) == 0 {
		b.Length += unit.Length(r.Intn(999))
	}
	n := 1 + r.Intn(6)
	W := 40 + r.Int63n(80)
	b.StraightNear = r.Intn(4) == 0
	xs := map[int64]bool{}
	for len(xs) < n {
		xs[r.Int63n(int64(b.Length)/M+1)] = true
	}
	var xv []int64
	for x := range xs {
		xv = append(xv, x)
	}
	sort.Slice(xv, func(i, j int) bool { return xv[i] < xv[j] })
	amp := []int64{0, 6, 25}[r.Intn(3)]
	for _, x := range xv {
		st := wood.Station{X: unit.Length(x * M)}
		if !b.StraightNear {
			st.Near = unit.Length(r.Int63n(amp*M+1)) / 1000 * 1000
			if r.Intn(8) == 0 {
				st.Near -= unit.Length(10 * M)
			}
		}
		st.Far = unit.Length(W*M - r.Int63n(amp*M+1))
		b.Stations = append(b.Stations, st)
	}
	s := saw.Saw{Kerf: unit.Length([]int64{0, 3, 3, 4}[r.Intn(4)] * M), Step: unit.Length(step * M)}
	if r.Intn(3) == 0 {
		s.Kerf += unit.Length(r.Int63n(M))
	}
	s.LeastStrip = mmr(3, 12)
	s.Gap = s.LeastStrip + mmr(0, 6)
	s.Trim = unit.Length([]int64{0, 1, 3}[r.Intn(3)] * M)
	if r.Intn(4) == 0 {
		s.Rerip = saw.Rerip{Width: mmr(8, 40), Value: r.Int63n(8) * 100_000}
	}
	travel := func(c, w int64) saw.Travel {
		t := saw.Travel{Min: unit.Length((c - w) * M), Max: unit.Length((c + w) * M)}
		t.Current = t.Min + unit.Length(r.Int63n(int64(t.Max-t.Min)+1))
		if r.Intn(2) == 0 {
			t.Current = unit.Length(int64(t.Current) / (step * M) * step * M)
			t.Current = max(t.Current, t.Min)
		}
		return t
	}
	s.Fence = travel(r.Int63n(40), 5+r.Int63n(15))
	nb := 1 + r.Intn(4)
	at := int64(s.Fence.Min)/M - 15 + r.Int63n(30)
	for j := 0; j < nb; j++ {
		if r.Intn(2) == 0 {
			s.Blades = append(s.Blades, saw.Blade{At: unit.Length(at*M + r.Int63n(2)*r.Int63n(M))})
		} else {
			w := 5 + r.Int63n(25)
			s.Blades = append(s.Blades, saw.Blade{Moving: true, Travel: travel(at, w)})
		}
		at += 12 + r.Int63n(40)
	}
	p := &rip.Problem{Board: b, Saw: s}
	ni := 1 + r.Intn(4)
	for i := 0; i < ni; i++ {
		it := order.Item{ID: fmt.Sprint("i", i), Value: (1 + r.Int63n(6)) * 250_000, Basis: order.Basis(r.Intn(3) * r.Intn(2))}
		lo := max(int64(s.LeastStrip)/M, 4)
		it.Min = mmr(lo, lo+30)
		it.Max = it.Min
		if r.Intn(3) == 0 {
			it.Random = true
			it.Max += mmr(0, 25)
		} else if r.Intn(3) == 0 {
			it.Tolerance = mmr(0, 6)
		}
		if it.Basis != order.PerArea {
			it.Value = r.Int63n(30) * 1000
		}
		if r.Intn(2) == 0 {
			it.LeastLength = mmr(0, 500)
		}
		if r.Intn(8) == 0 {
			it.GreatestLength = it.LeastLength + mmr(100, 900)
		}
		if r.Intn(2) == 0 {
			it.Measure = order.Measure(1 + r.Intn(3))
			switch it.Measure {
			case order.ByLength:
				it.Required = r.Int63n(1_500_000)
			case order.ByArea:
				it.Required = r.Int63n(40_000_000_000)
			case order.ByPieces:
				it.Required = r.Int63n(4)
				if r.Intn(2) == 0 {
					it.PieceLength = mmr(50, 400)
				}
			}
			it.Made = r.Int63n(it.Required/3 + 1)
		}
		p.Items = append(p.Items, it)
	}
	if r.Intn(3) > 0 {
		tighten(r, p)
	}
	return p
}

// tighten makes the first item fit most pockets and wants of it less than two
// strips, so that its cap binds.
func tighten(r *rand.Rand, p *rip.Problem) {
	it := &p.Items[0]
	it.Random, it.Min, it.Max = true, p.Saw.LeastStrip, 60*unit.Millimetre
	it.LeastLength, it.GreatestLength, it.Made, it.PieceLength = 0, 0, 0, 0
	it.Value += 500_000
	switch r.Intn(3) {
	case 0:
		it.Measure, it.Required = order.ByLength, 1+r.Int63n(400_000)
	case 1:
		it.Measure, it.Required = order.ByArea, 1+r.Int63n(6_000_000_000)
	case 2:
		it.Measure, it.Required = order.ByPieces, 1+r.Int63n(2)
	}
}
