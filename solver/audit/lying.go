package audit

import (
	"cmp"
	"slices"

	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// lying is the board as it lies before the blades: stations from end to end, with
// stations added at the ends for the level parts.
type lying struct {
	laid bool
	turn wood.Turn
	skew unit.Length

	straight bool // the straight near edge lies at the fence

	at       []wood.Station
	length   unit.Length
	along    unit.Run // length in whole micrometres
	trimNear unit.Length
	trimFar  unit.Length

	nearLow, nearHigh unit.Length // least and greatest
	farLow, farHigh   unit.Length
	whole             bool // near is below far at every station

	// Twice the areas between y = 0 and each edge, in nm2.
	underNear, underFar wide

	defects []defect // in rising order of from
	kinds   map[string]int
}

// defect is the stretch that a defect takes away, and the height that it lies in.
type defect struct {
	from, to unit.Run
	lo, hi   unit.Length
	kind     int
}

// lay lays a board in a turn, at a skew.
func (l *lying) lay(b *wood.Board, trim unit.Length, turn wood.Turn, skew unit.Length) {
	if l.laid && l.turn == turn && l.skew == skew {
		return
	}
	l.laid, l.turn, l.skew = true, turn, skew
	l.length, l.along = b.Length, unit.Run(b.Length/1000)
	l.trimNear, l.trimFar, l.straight = trim, trim, straight(b, turn)
	if l.straight {
		l.trimNear = 0
	}
	if l.at == nil {
		l.at = make([]wood.Station, 0, len(b.Stations)+2)
	}
	l.at = l.at[:0]
	if s := b.Stations[0]; s.X > 0 {
		l.at = append(l.at, wood.Station{Near: s.Near, Far: s.Far})
	}
	l.at = append(l.at, b.Stations...)
	if s := b.Stations[len(b.Stations)-1]; s.X < b.Length {
		l.at = append(l.at, wood.Station{X: b.Length, Near: s.Near, Far: s.Far})
	}
	about := turnOf(b, turn)
	about.stations(l.at)
	down := unit.Length(0)
	if skew != 0 {
		for i := range l.at {
			s := &l.at[i]
			rise := sheared(skew, s.X)
			s.Near, s.Far = s.Near+rise, s.Far+rise
		}
		down = slices.MinFunc(l.at, func(s, t wood.Station) int { return cmp.Compare(s.Near, t.Near) }).Near
		for i := range l.at {
			l.at[i].Near -= down
			l.at[i].Far -= down
		}
	}
	l.extent()
	l.mark(b, about, skew, down)
}

// extent finds the extremes of the edges and the areas below them.
func (l *lying) extent() {
	s := l.at[0]
	l.nearLow, l.nearHigh, l.farLow, l.farHigh, l.whole = s.Near, s.Near, s.Far, s.Far, s.Near < s.Far
	l.underNear, l.underFar = wide{}, wide{}
	for i := 1; i < len(l.at); i++ {
		s, t := &l.at[i-1], &l.at[i]
		l.nearLow, l.nearHigh = min(l.nearLow, t.Near), max(l.nearHigh, t.Near)
		l.farLow, l.farHigh = min(l.farLow, t.Far), max(l.farHigh, t.Far)
		l.whole = l.whole && t.Near < t.Far
		long := int64(t.X - s.X)
		l.underNear = l.underNear.plus(product(long, int64(s.Near+t.Near)))
		l.underFar = l.underFar.plus(product(long, int64(s.Far+t.Far)))
	}
}

// mark lists the defects as the board lies.
func (l *lying) mark(b *wood.Board, about turn, skew, down unit.Length) {
	l.defects = l.defects[:0]
	if len(b.Defects) == 0 {
		return
	}
	if l.kinds == nil {
		l.kinds = make(map[string]int)
		l.defects = make([]defect, 0, len(b.Defects))
	}
	for i := range b.Defects {
		d := about.defect(b.Defects[i])
		kind, known := l.kinds[d.Kind]
		if !known {
			kind = len(l.kinds)
			l.kinds[d.Kind] = kind
		}
		one, other := sheared(skew, d.FromX)-down, sheared(skew, d.ToX)-down
		l.defects = append(l.defects, defect{
			from: unit.Run(d.FromX / 1000), to: unit.Run((d.ToX + 999) / 1000),
			lo: d.FromY + min(one, other), hi: d.ToY + max(one, other), kind: kind,
		})
	}
	slices.SortFunc(l.defects, func(c, d defect) int { return cmp.Compare(c.from, d.from) })
}

// Lift gives how far a skew lifts the two ends of a turned board, the leading end first:
// a point at y of the turned board then lies at y plus that much.
func Lift(b *wood.Board, turn wood.Turn, skew unit.Length) (start, end unit.Length) {
	if skew == 0 {
		return 0, 0
	}
	var l, flat lying
	l.lay(b, 0, turn, skew)
	flat.lay(b, 0, turn, 0)
	last := len(l.at) - 1
	return l.at[0].Near - flat.at[0].Near, l.at[last].Near - flat.at[last].Near
}

// sheared is how far a skew in nanometres per metre lifts a point at x, in whole
// nanometres, halves away from 0.
func sheared(skew, x unit.Length) unit.Length {
	const metre = 1_000_000_000
	at := int64(skew) * int64(x)
	whole, rest := at/metre, at%metre
	switch {
	case 2*rest >= metre:
		whole++
	case 2*rest <= -metre:
		whole--
	}
	return unit.Length(whole)
}

// meets reports whether wood lies in the open band.
func (l *lying) meets(lo, hi unit.Length) bool {
	if hi <= lo || hi <= l.nearLow || lo >= l.farHigh {
		return false
	}
	if l.whole {
		return true // in one piece from the least near to the greatest far edge
	}
	for i := 1; i < len(l.at); i++ {
		s, t := &l.at[i-1], &l.at[i]
		flat := s.Near == s.Far && t.Near == t.Far
		if !flat && max(s.Far, t.Far) > lo && min(s.Near, t.Near) < hi {
			return true
		}
	}
	return false
}
