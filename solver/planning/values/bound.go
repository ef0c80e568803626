package values

import (
	"math/big"
)

// bound gives the greatest factor by which values may be scaled so that no lot's
// boards are worth more than they cost, rounded down, and from it the bound on
// the cost of filling open, in units of the objective. It is exact arithmetic
// but for the last rounding, which is down.
func (pl *Planner) bound(values []int64, open []int64, out []priced) (scale *big.Rat, bound *big.Rat) {
	for g := range out {
		s := pl.fair(g, &out[g])
		if s != nil && (scale == nil || s.Cmp(scale) < 0) {
			scale = s
		}
	}
	if scale == nil {
		return nil, nil // nothing gives anything
	}
	total := new(big.Int)
	for k := range values {
		total.Add(total, pl.Demand.Rows[k].Worth(values[k], max(open[k], 0)))
	}
	bound = new(big.Rat).SetInt(total)
	return scale, bound.Mul(bound, scale)
}

// fair gives the factor at which a lot's boards are together worth what they
// cost: the root of sum n max(s V - c, -lost c), in units of cost over units of
// worth. The sum is convex and does not fall, so Newton's steps come down to the
// root from above and end on it. Nil: the lot gives nothing.
func (pl *Planner) fair(g int, p *priced) *big.Rat {
	lot := &pl.p.Lots[g]
	aside := make([]bool, len(lot.Kinds))
	var scale *big.Rat
	for {
		// cost of those kept and what is lost with the others, in 1e-12.
		cost, worth := new(big.Int), new(big.Int)
		for t, k := range lot.Kinds {
			part := int64(Everything)
			if aside[t] {
				part = pl.p.Lost
			} else {
				w := p.worth[t].Big()
				worth.Add(worth, w.Mul(w, big.NewInt(k.Count)))
			}
			c := new(big.Int).Mul(big.NewInt(pl.cost[g][t]), big.NewInt(k.Count))
			cost.Add(cost, c.Mul(c, big.NewInt(part)))
		}
		if worth.Sign() == 0 {
			return scale
		}
		scale = new(big.Rat).SetFrac(cost, worth)
		scale.Mul(scale, big.NewRat(1, Everything*1_000_000))
		if pl.p.Lost == Everything {
			return scale
		}
		more := false
		for t := range lot.Kinds {
			saved := big.NewRat(pl.cost[g][t], 1_000_000)
			saved.Mul(saved, big.NewRat(Everything-pl.p.Lost, Everything))
			own := new(big.Rat).SetInt(p.worth[t].Big())
			if !aside[t] && own.Mul(own, scale).Cmp(saved) < 0 {
				aside[t], more = true, true
			}
		}
		if !more {
			return scale
		}
	}
}
