// Package drift watches whether cut widths drift away from planned ones.
//
// Every pocket, the space between two neighbouring blades, has its own chart: a two-sided
// tabular CUSUM (E. S. Page, Biometrika 41, 1954; NIST/SEMATECH e-Handbook of Statistical
// Methods, section 6.3.2.3). A strip's error e is its measured width less the planned
// one. With a unit u
//
//	high = max(0, high + e - u/2)    low = max(0, low - e - u/2)
//
// and the chart signals once one of them is above 10 u. That finds a mean that is one
// unit off after about 20 strips. If errors are normal and independent, with standard
// deviation u, and there is no drift, there is one false signal in about 75,000 strips;
// the handbook's usual 4 or 5 units would give one in 170 or 465, several an hour on a
// line that measures every strip. The unit is the scatter of the errors, but at least the
// smallest shift that matters to the work, so that an accurate saw gets no reports that
// nobody needs.
//
// An error counts as three units at most, so that one false reading of a gauge signals
// nothing.
//
// After a signal the chart tests for the mean's return in the same way, reversed: the
// shift is over once the strips speak for 0 as clearly as they spoke against it.
//
// Everything is counted in whole nanometres, so a chart continues the same on any
// machine.
package drift

import "github.com/ripwright/ripwright/solver/unit"

// In units: the reference value k is a half, the decision interval h is Decision, and an
// error counts up to Most.
const (
	Decision = 10
	Most     = 3
)

// Way is the side to which the widths of a pocket have drifted.
type Way int8

// The ways.
const (
	Narrow Way = -1
	None   Way = 0
	Wide   Way = 1
)

// Chart is the control chart of one pocket.
type Chart struct {
	// Near and Far are the blades that bound the pocket, from 0; Near is Edge if the
	// board's straight edge bounds it.
	Near, Far int
	Strips    int32       // measured so far
	Last      unit.Length // error of the last one
	// High and Low are the sums, HighFor and LowFor the numbers of strips in them. While
	// the pocket has drifted, the sum of that side tests for the return.
	High, Low       unit.Length
	HighFor, LowFor int32
	Way             Way
	// By is how far it had drifted when that was reported.
	By unit.Length
}

// Edge stands for the board's straight near edge in place of a blade.
const Edge = -1

// rule is the decision rule of a chart.
type rule struct{ unit, decision, most unit.Length }

// standard is the rule of this package for a unit.
func standard(u unit.Length) rule { return rule{unit: u, decision: Decision * u, most: Most * u} }

// add counts a strip's error, and reports whether the pocket's Way changed.
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

// step adds to a sum, and counts the strips since it rose above 0.
func step(sum *unit.Length, n *int32, d unit.Length) {
	if *sum += d; *sum <= 0 {
		*sum, *n = 0, 0
		return
	}
	*n++
}

// shift is how far the mean has shifted: the reference value plus the sum over its strips
// (D. C. Montgomery, Introduction to Statistical Quality Control, on the tabular CUSUM).
func shift(sum unit.Length, n int32, k unit.Length) unit.Length { return k + sum/unit.Length(n) }

func (c *Chart) turn(w Way, by unit.Length) {
	c.Way, c.By = w, by
	c.High, c.Low, c.HighFor, c.LowFor = 0, 0, 0, 0
}

// leans reports whether the pocket is at least halfway to a drift that way.
func (c *Chart) leans(w Way, r rule) bool {
	switch {
	case c.Way != None:
		return c.Way == w
	case w == Wide:
		return 2*c.High >= r.decision
	}
	return 2*c.Low >= r.decision
}
