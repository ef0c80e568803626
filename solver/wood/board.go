// Package wood models a board as scanned.
//
// x runs along the feed from the leading end, y across it from the fence face. The two
// edges are piecewise linear between stations and level beyond the first and the last
// one. A piece can be sawn where the wood, less the edge trim, covers it: Clear gives
// these stretches for any band of y.
package wood

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/internal/published"
	"github.com/ripwright/ripwright/solver/unit"
)

// Station is one reading across the board: at X the wood lies between Near and Far.
type Station struct {
	X, Near, Far unit.Length
}

// Board is a measured board.
//
// Invariants, checked by Faults:
//  1. Length > 0, and there is at least one station.
//  2. 0 <= X <= Length, strictly rising from station to station.
//  3. Near <= Far at every station, and Near < Far at one at least.
//  4. With StraightNear, Near is 0 everywhere.
//  5. Every defect lies on the board along x and has a length and a width.
type Board struct {
	Length    unit.Length
	Thickness unit.Length // 0: not measured
	Stations  []Station
	// StraightNear says that the near edge is already straight and runs along the fence:
	// no trim is taken there and y = 0 bounds the first pocket.
	StraightNear bool
	Defects      []Defect
}

// Limits of a board that keep every sum and product of the solver within its integers.
const (
	MaxLength   = published.MostBoardLengthMm * unit.Millimetre
	MaxAcross   = published.MostStationNearMm * unit.Millimetre
	MaxStations = published.MostEntriesOfBoardStations
	// MaxSpan is the greatest span of a board's edges, skewed or not.
	MaxSpan = 2 * MaxAcross
)

// Faults lists what breaks the invariants, by field.
func (b *Board) Faults() fault.List {
	var l fault.List
	if b.Length <= 0 || b.Length > MaxLength {
		l.Because(fault.OutOfRange, "length_mm", "is %g; must be above 0 and at most %g", b.Length.MM(), MaxLength.MM())
	}
	if b.Thickness < 0 || b.Thickness > MaxAcross {
		l.Because(fault.OutOfRange, "thickness_mm", "is %g; must be 0 (not measured) to %g", b.Thickness.MM(), MaxAcross.MM())
	}
	switch n := len(b.Stations); {
	case n == 0:
		l.Because(fault.Missing, "stations", "is empty; at least one station is needed")
	case n > MaxStations:
		l.Because(fault.WrongCount, "stations", "has %d entries; at most %d are taken", n, MaxStations)
		return l
	}
	l = append(l, b.defectFaults()...)
	wide := len(b.Stations) == 0
	for i, s := range b.Stations {
		at := func(field, format string, args ...any) {
			l.Add(fmt.Sprintf("stations[%d].%s", i, field), format, args...)
		}
		if s.X < 0 || (b.Length > 0 && s.X > b.Length) {
			at("x_mm", "is %g; must lie on the board, 0 to %g", s.X.MM(), b.Length.MM())
		}
		if i > 0 && s.X <= b.Stations[i-1].X {
			at("x_mm", "is %g, not beyond the station before it at %g; stations go in rising order of x",
				s.X.MM(), b.Stations[i-1].X.MM())
		}
		if s.Near < -MaxAcross || s.Near > MaxAcross {
			at("near_mm", "is %g; must be %g to %g", s.Near.MM(), -MaxAcross.MM(), MaxAcross.MM())
		}
		if s.Far < -MaxAcross || s.Far > MaxAcross {
			at("far_mm", "is %g; must be %g to %g", s.Far.MM(), -MaxAcross.MM(), MaxAcross.MM())
		}
		if s.Far < s.Near {
			at("far_mm", "is %g, less than near_mm %g; the edges cross", s.Far.MM(), s.Near.MM())
		}
		if b.StraightNear && s.Near != 0 {
			at("near_mm", "is %g; must be 0 when near_edge_straight is set", s.Near.MM())
		}
		wide = wide || s.Near < s.Far
	}
	if !wide {
		l.Add("stations", "have no width anywhere; there is no wood to rip")
	}
	return l
}

// Span gives the least and greatest y of wood, and the greatest near and least far edge:
// between those two there is wood at every x.
func (b *Board) Span() (leastNear, greatestNear, leastFar, greatestFar unit.Length) {
	s := b.Stations[0]
	leastNear, greatestNear, leastFar, greatestFar = s.Near, s.Near, s.Far, s.Far
	for _, s := range b.Stations[1:] {
		leastNear, greatestNear = min(leastNear, s.Near), max(greatestNear, s.Near)
		leastFar, greatestFar = min(leastFar, s.Far), max(greatestFar, s.Far)
	}
	return leastNear, greatestNear, leastFar, greatestFar
}

// GreatestWidth gives the greatest distance between the edges at any x.
func (b *Board) GreatestWidth() unit.Length {
	w := unit.Length(0)
	for _, s := range b.Stations {
		w = max(w, s.Far-s.Near)
	}
	return w
}
