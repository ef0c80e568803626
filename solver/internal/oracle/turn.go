package oracle

import (
	"slices"

	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// reverses says which axes of the board a turn reverses.
var reverses = map[wood.Turn]struct{ along, across bool }{
	wood.AsScanned:    {false, false},
	wood.EndForEnd:    {true, true},  // about the upright axis
	wood.EdgeOverEdge: {false, true}, // about the board's length
	wood.EndOverEnd:   {true, false}, // about its width
}

// turns lists the turns in which the board can come to the saw. A straight near edge
// stays at the fence.
func (p *Problem) turns() []wood.Turn {
	all := []wood.Turn{wood.AsScanned}
	for _, w := range p.Saw.Turns {
		if !p.Board.StraightNear || !reverses[w.Turn].across {
			all = append(all, w.Turn)
		}
	}
	return all
}

// turning is the cost of a turn.
func (p *Problem) turning(t wood.Turn) money {
	for _, w := range p.Saw.Turns {
		if w.Turn == t {
			return product(w.Cost, 1_000_000, 1_000_000_000)
		}
	}
	return money{}
}

// turned gives the problem with the board turned, point by point.
func (p *Problem) turned(t wood.Turn) *Problem {
	by := reverses[t]
	q := *p
	if !by.along && !by.across {
		return &q
	}
	b := &q.Board
	low, high := b.Stations[0].Near, b.Stations[0].Far
	for _, s := range b.Stations {
		low, high = min(low, s.Near), max(high, s.Far)
	}
	to := func(x, y unit.Length) (unit.Length, unit.Length) {
		if by.along {
			x = b.Length - x
		}
		if by.across {
			y = low + high - y
		}
		return x, y
	}
	var stations []wood.Station
	for _, s := range b.Stations {
		x, one := to(s.X, s.Near)
		_, other := to(s.X, s.Far)
		stations = append(stations, wood.Station{X: x, Near: min(one, other), Far: max(one, other)})
	}
	slices.SortFunc(stations, func(s, t wood.Station) int { return int(s.X - t.X) })
	defects := slices.Clone(b.Defects)
	for i := range defects {
		d := &defects[i]
		x1, y1 := to(d.FromX, d.FromY)
		x2, y2 := to(d.ToX, d.ToY)
		d.FromX, d.ToX, d.FromY, d.ToY = min(x1, x2), max(x1, x2), min(y1, y2), max(y1, y2)
	}
	b.Stations, b.Defects, b.StraightNear = stations, defects, b.StraightNear && !by.across
	return &q
}
