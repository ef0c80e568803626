package values

import (
	"math"
	"math/rand/v2"
	"slices"
)

// Limits on plans cut by corrected values.
const (
	mostCorrected = 60
	correctedWork = 5_000_000 // steps of the solver of one board
	soonCorrected = 1_500_000 // the same before anything is planned
)

// corrected looks for a plan in whole boards that is cheaper than best: board after board
// is ripped for the values of what is left, and what was made from boards with much waste
// then gains value, so that it is cut earlier next time (sequential value correction:
// Mukhacheva and others 2000; Belov and Scheithauer 2007; from memory). It starts from
// the values of the fractional plan, and halfway again from areas.
func (pl *Planner) corrected(best *Whole, plan *Plan, open []int64, o *Options, work int64) (*Whole, error) {
	random := rand.New(rand.NewPCG(3, 4)) // repeatable on purpose
	c := corrector{pl: pl, open: open, area: pl.areas()}
	until := pl.work.Load() + work
	for n := range mostCorrected {
		switch n {
		case 0:
			c.begin(plan.ToCut)
		case mostCorrected / 2:
			c.begin(c.area)
		}
		c.firm = math.Exp(random.Float64() * math.Log(firmest))
		power := random.Float64() * steepest
		c.wide = c.wide[:0]
		for k := range open {
			c.wide = append(c.wide, pl.tilt(k, power)/math.Pow(c.widest(), power))
		}
		w, err := pl.ripped(open, c.values, o, c.correct)
		if err != nil {
			return nil, err
		}
		if w.cheaper(best) {
			best = w
		}
		if pl.judge(best, plan); best.Proven || o.stopped() || pl.work.Load() > until {
			break
		}
	}
	return best, nil
}

const (
	// firmest is the greatest weight of a row's old value, as a multiple of what is
	// wanted.
	firmest = 3
	// steepest is the greatest exponent of the width in the extra value of wide strips.
	steepest = 0.25
)

// corrector holds the values of rows, in m2, while they are corrected.
type corrector struct {
	pl                 *Planner
	open               []int64
	area, values, wide []float64
	firm               float64
}

// begin sets values, scaled so that the order is worth its area.
func (c *corrector) begin(values []float64) {
	c.values = slices.Clone(values)
	area, worth := 0.0, 0.0
	for k, n := range c.open {
		units := c.pl.Demand.Rows[k].Units(max(n, 0))
		area += c.area[k] * units
		worth += values[k] * units
	}
	for k := range values {
		if worth > 0 {
			c.values[k] *= area / worth
		}
	}
}

// widest gives the width of the widest strip that is wanted, in mm.
func (c *corrector) widest() (mm float64) {
	for k := range c.open {
		mm = math.Max(mm, c.pl.tilt(k, 1))
	}
	return mm
}

// correct moves the values of the rows that a pattern makes towards the face of its
// boards, shared out by area.
func (c *corrector) correct(p *Pattern, left []int64) {
	used := 0.0
	for k, m := range p.Made {
		used += c.area[k] * c.pl.Demand.Rows[k].Units(min(m*p.Times, max(left[k], 0)))
	}
	if used <= 0 {
		return
	}
	face := c.pl.p.Lots[p.Lot].Kinds[0].Board.Face().SquareMetres() * float64(p.Times)
	for k, m := range p.Made {
		if m <= 0 || left[k] <= 0 {
			continue
		}
		made := float64(m) * float64(p.Times)
		old := c.firm * float64(c.open[k]+left[k])
		c.values[k] = (old*c.values[k] + made*c.area[k]*c.wide[k]*face/used) / (old + made)
	}
}
