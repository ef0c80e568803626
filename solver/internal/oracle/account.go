package oracle

import (
	"slices"

	"github.com/ripwright/ripwright/solver/wood"
)

// Account is where a plan's wood goes, in units of 1e-15 m2, by integration across the
// wood in floating point: it takes nothing from the solver.
type Account struct{ Face, Strip, EndTrim, Offcut, Edging, Kerf float64 }

// AccountOf computes the account of a plan with the given items by pocket.
func AccountOf(p *Problem, a *Plan) Account {
	at := p.turned(a.Turn).Board
	at = Skewed(&at, a.Skew)
	b, kerf := &at, int64(p.Saw.Kerf)
	const far = int64(1) << 45
	acc := Account{Face: band(b, -far, far), Strip: float64(a.Area)}
	y := func(j int) int64 { return a.Pos[j] - a.Fence }
	for j := range a.Pos {
		hi := y(j) + kerf
		if j+1 < len(a.Pos) {
			hi = min(hi, y(j+1)) // wood under two blades of a bad setting counts once
		}
		acc.Kerf += band(b, y(j), hi)
	}
	first := 0
	if b.StraightNear {
		first = -1
	}
	items := 0.0
	for k, item := range a.Items {
		j := first + k
		lo := int64(0)
		if j >= 0 {
			lo = y(j) + kerf
		}
		if b.StraightNear {
			lo = max(lo, 0)
		}
		wood := band(b, lo, y(j+1))
		switch {
		case item >= 0:
			items += wood
		case j >= 0 && inWood(b, y(j), y(j)+kerf) && inWood(b, y(j+1), y(j+1)+kerf):
			acc.Offcut += wood
		}
	}
	acc.EndTrim = items - acc.Strip
	acc.Edging = acc.Face - acc.Kerf - items - acc.Offcut
	return acc
}

// band integrates the width of the wood within [lo, hi] along the board: between the
// places where an edge crosses one of the two it is linear.
func band(b *wood.Board, lo, hi int64) float64 {
	if hi <= lo {
		return 0
	}
	st := stationed(b)
	sum := 0.0
	for i := 1; i < len(st); i++ {
		s, t := st[i-1], st[i]
		cuts := []float64{0, 1}
		for _, e := range [][2]float64{{float64(s.Near), float64(t.Near)}, {float64(s.Far), float64(t.Far)}} {
			for _, h := range []float64{float64(lo), float64(hi)} {
				if u := (h - e[0]) / (e[1] - e[0]); u > 0 && u < 1 {
					cuts = append(cuts, u)
				}
			}
		}
		slices.Sort(cuts)
		width := func(u float64) float64 {
			near := float64(s.Near) + u*float64(t.Near-s.Near)
			far := float64(s.Far) + u*float64(t.Far-s.Far)
			return max(0, min(far, float64(hi))-max(near, float64(lo)))
		}
		dx := float64(t.X-s.X) / 1000
		for k := 1; k < len(cuts); k++ {
			sum += dx * (cuts[k] - cuts[k-1]) * (width(cuts[k-1]) + width(cuts[k])) / 2
		}
	}
	return sum
}
