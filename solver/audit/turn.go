package audit

import (
	"slices"

	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// turn says where a point of the board as scanned lies after a turn: at lengthwise less x
// if along is set, and at crosswise less y if across is.
type turn struct {
	along, across         bool
	lengthwise, crosswise unit.Length
}

func turnOf(b *wood.Board, t wood.Turn) turn {
	to := turn{lengthwise: b.Length}
	switch t {
	case wood.EndForEnd:
		to.along, to.across = true, true
	case wood.EdgeOverEdge:
		to.across = true
	case wood.EndOverEnd:
		to.along = true
	case wood.AsScanned:
	}
	least, greatest := b.Stations[0].Near, b.Stations[0].Far
	for i := range b.Stations {
		least, greatest = min(least, b.Stations[i].Near), max(greatest, b.Stations[i].Far)
	}
	to.crosswise = least + greatest
	return to
}

// stations turns all stations of a board.
func (t *turn) stations(at []wood.Station) {
	for i := range at {
		s := &at[i]
		if t.along {
			s.X = t.lengthwise - s.X
		}
		if t.across {
			s.Near, s.Far = t.crosswise-s.Far, t.crosswise-s.Near
		}
	}
	if t.along {
		slices.Reverse(at)
	}
}

func (t *turn) defect(d wood.Defect) wood.Defect {
	if t.along {
		d.FromX, d.ToX = t.lengthwise-d.ToX, t.lengthwise-d.FromX
	}
	if t.across {
		d.FromY, d.ToY = t.crosswise-d.ToY, t.crosswise-d.FromY
	}
	return d
}

// Scanned gives where a kerf that runs level on a saw lies on the board as scanned: the
// lesser y of the kerf's two edges at x = 0 and at the board's other end. y is the kerf's
// fence-side edge on the board as it lies on the saw.
func Scanned(b *wood.Board, t wood.Turn, skew, y, kerf unit.Length) (start, end unit.Length) {
	lead, trail := Lift(b, t, skew)
	start, end = y-lead, y-trail
	to := turnOf(b, t)
	if to.across {
		start, end = to.crosswise-start-kerf, to.crosswise-end-kerf
	}
	if to.along {
		start, end = end, start
	}
	return start, end
}

// straight reports whether a board in a turn has a straight edge at the fence.
func straight(b *wood.Board, t wood.Turn) bool {
	return b.StraightNear && (t == wood.AsScanned || t == wood.EndOverEnd)
}

// turns says what is wrong with a plan's turn of the board; empty: nothing.
func (a *auditor) turns(t wood.Turn) string {
	if t == wood.AsScanned {
		return ""
	}
	for i := range a.p.Saw.Turns {
		if a.p.Saw.Turns[i].Turn == t {
			if a.p.Board.StraightNear && t != wood.EndOverEnd {
				return "a straight near edge is turned away from the fence"
			}
			return ""
		}
	}
	return "the saw does not allow the board's turn"
}

// turning is the cost of a plan's turn, in units of 1e-21.
func (a *auditor) turning(t wood.Turn) wide {
	for i := range a.p.Saw.Turns {
		if w := &a.p.Saw.Turns[i]; w.Turn == t {
			return product(w.Cost, 1e15)
		}
	}
	return wide{}
}
