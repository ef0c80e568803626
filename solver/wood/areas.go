package wood

import "github.com/ripwright/ripwright/solver/unit"

// Areas answers Board.Band for many bands of one board, with equal results. What all
// bands have in common is computed once.
type Areas struct {
	b                                           *Board
	leastNear, greatestNear, leastFar, greatest unit.Length
	// A full band has the width times each stretch's length, rounded down to whole units.
	// Lengths are kept as their total in whole micrometres, and by the remaining
	// nanometres, of which there are a thousand values.
	whole int64
	over  []overs
	known map[[2]unit.Length]unit.Area
}

// overs is how many stretches are nm nanometres longer than whole micrometres.
type overs struct{ nm, stretches int64 }

// NewAreas prepares a board.
func NewAreas(b *Board) *Areas {
	a := &Areas{b: b, known: map[[2]unit.Length]unit.Area{}}
	a.leastNear, a.greatestNear, a.leastFar, a.greatest = b.Span()
	var many [1000]int64
	b.Stretches(func(dx, _, _, _, _ unit.Length) {
		a.whole += int64(dx) / 1000
		many[int64(dx)%1000]++
	})
	for nm, n := range many {
		if nm > 0 && n > 0 {
			a.over = append(a.over, overs{int64(nm), n})
		}
	}
	return a
}

// Band gives the area of the wood whose y lies in [lo, hi].
func (a *Areas) Band(lo, hi unit.Length) unit.Area {
	lo, hi = max(lo, a.leastNear), min(hi, a.greatest)
	if hi <= lo {
		return 0
	}
	at := [2]unit.Length{lo, hi}
	sum, ok := a.known[at]
	if !ok {
		sum = a.band(lo, hi)
		a.known[at] = sum
	}
	return sum
}

func (a *Areas) band(lo, hi unit.Length) (sum unit.Area) {
	nearIn, farIn := a.greatestNear > lo, a.leastFar < hi // the edge is in the band somewhere
	if !farIn {
		sum = a.full(int64(hi - lo))
	}
	if !nearIn && !farIn {
		return sum
	}
	a.b.Stretches(func(dx, n0, n1, f0, f1 unit.Length) {
		if farIn {
			sum += under(dx, f0-lo, f1-lo, hi-lo)
		}
		if nearIn {
			sum -= under(dx, n0-lo, n1-lo, hi-lo)
		}
	})
	return sum
}

// full is the area of a band that is full of wood.
func (a *Areas) full(width int64) unit.Area {
	sum := a.whole * width
	for _, o := range a.over {
		sum += o.nm * width / 1000 * o.stretches
	}
	return unit.Area(sum)
}
