// Package drift watches whether what a saw cuts wanders away from what was planned.
//
// Every pocket, the space between two neighbouring blades, has a chart of its own: a
// tabular CUSUM of both sides (E. S. Page, Biometrika 41, 1954; NIST/SEMATECH e-Handbook
// of Statistical Methods, section 6.3.2.3). A strip's error e is its measured width less
// the planned one. With a unit u
//
//	high = max(0, high + e - u/2)    low = max(0, low - e - u/2)
//
// and the chart signals once one of them is above 10 u. That finds a mean that lies a
// unit off after some 20 strips. As long as nothing drifts, errors scatter by u and are
// normal and independent, it signals falsely once in some 75,000 strips; the handbook's
// usual 4 or 5 units would do so once in 170 or 465, several times an hour on a line that
// measures every strip. The unit is the scatter of the errors, but not less than the
// least shift that matters to the work, so that a good saw is not told of what nobody
// needs to know.
//
// An error counts as three units at most: one reading of a gauge that slipped signals
// nothing.
//
// After a signal the chart looks for the mean's return by the same test, turned round:
// the shift is over once the strips speak for 0 as clearly as they spoke against it.
//
// All is counted in whole nanometres, so that a chart goes on the same on any machine.
package drift

import "github.com/ripwright/ripwright/solver/unit"

// Of the unit: reference value k is a half, decision interval h is Decision, and an error
// counts up to Most.
const (
	Decision = 10
	Most     = 3
)

// Way is to which side the widths of a pocket have drifted.
type Way int8

// The ways.
const (
	Narrow Way = -1
	None   Way = 0
	Wide   Way = 1
)

// Chart is that of one pocket.
type Chart struct {
	// Near and Far are the blades that bound the pocket, from 0; Near is Edge where the
	// board's straight edge does.
	Near, Far int
	Strips    int32       // that were measured
	Last      unit.Length // error of the last one
	// High and Low are the sums, HighFor and LowFor over how many strips. While the
	// pocket has drifted, the sum of its side speaks for the return.
	High, Low       unit.Length
	HighFor, LowFor int32
	Way             Way
	// By is how far it had drifted when that was told.
	By unit.Length
}

// Edge is the board's straight near edge in place of a blade.
const Edge = -1

// rule is how a chart decides.
type rule struct{ unit, decision, most unit.Length }

// standard is the rule of this package for a unit.
func standard(u unit.Length) rule { return rule{unit: u, decision: Decision * u, most: Most * u} }

// add takes a strip's error in, and reports whether the pocket's Way changed.
func (c *Chart) add(e unit.Length, r rule) bool {
	e = min(max(e, -r.most), r.most)
	k := r.unit / 2
	switch c.Way {
	case None:
		step(&c.High, &c.HighFor, e-k)
		step(&c.Low, &c.LowFor, -e-k)
		switch {
		case c.High > r.decision:
			c.turn(Wide, shift(c.High, c.HighFor, k))
		case c.Low > r.decision:
			c.turn(Narrow, -shift(c.Low, c.LowFor, k))
		default:
			return false
		}
		return true
	case Wide:
		step(&c.High, &c.HighFor, k-e)
	case Narrow:
		step(&c.Low, &c.LowFor, k+e)
	}
	if c.High <= r.decision && c.Low <= r.decision {
		return false
	}
	c.turn(None, 0)
	return true
}

// step adds to a sum, and counts since when it is above 0.
func step(sum *unit.Length, n *int32, d unit.Length) {
	if *sum += d; *sum <= 0 {
		*sum, *n = 0, 0
		return
	}
	*n++
}

// shift is how far the mean has shifted: reference value plus the sum over the strips
// that brought it (D. C. Montgomery, Introduction to Statistical Quality Control, on the
// tabular CUSUM).
func shift(sum unit.Length, n int32, k unit.Length) unit.Length { return k + sum/unit.Length(n) }

func (c *Chart) turn(w Way, by unit.Length) {
	c.Way, c.By = w, by
	c.High, c.Low, c.HighFor, c.LowFor = 0, 0, 0, 0
}

// leans reports whether the pocket is at least half way to having drifted that way.
func (c *Chart) leans(w Way, r rule) bool {
	switch {
	case c.Way != None:
		return c.Way == w
	case w == Wide:
		return 2*c.High >= r.decision
	}
	return 2*c.Low >= r.decision
}
