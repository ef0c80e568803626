package values

import (
	"math/big"
	"slices"
)

// bound gives a factor by which values may be scaled, and the lower bound on the cost of
// filling open that follows, in units of the objective. The arithmetic is exact except
// for the last rounding, which is down.
//
// A limited lot is treated like a term: the excess of a board's worth over its cost is
// the price of a place, subtracted for each board that there is.
//
// With one term the factor is the greatest at which no lot's boards are worth more than
// they cost. With several terms a board of an early term may be worth more: a place in
// the term then costs the excess, and the places are subtracted from the bound. That
// holds at any factor that is fair after the last due date; the bound is concave in the
// factor, so the best is taken among those at which some lot is just fair in some term,
// and the factor of the values themselves.
func (pl *Planner) bound(values, open []int64, s *search, outs [][]priced, natural *big.Rat) (scale, bound *big.Rat) {
	var all []*big.Rat
	for t := range outs {
		for g := range outs[t] {
			f := pl.fair(g, &outs[t][g], s.boards)
			if f == nil {
				continue
			}
			all = append(all, f)
			if t == len(outs)-1 && !s.limited(g) && (scale == nil || f.Cmp(scale) < 0) {
				scale = f
			}
		}
	}
	total := new(big.Int)
	for _, k := range s.rows {
		total.Add(total, pl.Demand.Rows[k].Worth(values[k], max(open[k], 0)))
	}
	worth := new(big.Rat).SetInt(total)
	if len(outs) == 1 && len(s.places()) == 0 {
		if scale == nil {
			return nil, nil // nothing gives anything
		}
		return scale, worth.Mul(worth, scale)
	}
	// If nothing is worth anything after the last due date, any factor is fair.
	all = slices.DeleteFunc(append(all, natural), func(f *big.Rat) bool { return scale != nil && f.Cmp(scale) > 0 })
	slices.SortFunc(all, (*big.Rat).Cmp)
	all = slices.CompactFunc(all, func(a, b *big.Rat) bool { return a.Cmp(b) == 0 })
	at := func(i int) *big.Rat {
		b := new(big.Rat).Mul(worth, all[i])
		b.Sub(b, pl.places(s, outs, all[i]))
		return b.Sub(b, pl.stock(s, outs[len(outs)-1], all[i]))
	}
	lo, hi := 0, len(all)-1
	for lo < hi {
		if mid := (lo + hi) / 2; at(mid).Cmp(at(mid+1)) < 0 {
			lo = mid + 1
		} else {
			hi = mid
		}
	}
	return all[lo], at(lo)
}

// places is the cost of the places of all terms when values are scaled by a factor.
func (pl *Planner) places(s *search, outs [][]priced, scale *big.Rat) *big.Rat {
	sum, later := new(big.Rat), new(big.Rat)
	for t := len(s.ends) - 1; t >= 0; t-- {
		// What is filled earlier is worth nothing later, so places cost no less.
		own := new(big.Rat).Set(later)
		for g := range outs[t] {
			if e := pl.excess(g, &outs[t][g], scale, s.boards); e.Cmp(own) > 0 {
				own = e
			}
		}
		each := new(big.Rat).Sub(own, later)
		end := new(big.Rat).SetFloat64(s.ends[t])
		sum.Add(sum, each.Mul(each, end))
		later = own
	}
	return sum
}

// limited reports whether a lot has a limited number of boards.
func (s *search) limited(g int) bool { return s.pl.p.Lots[g].Limited && !s.boards }

// stock is the cost, beyond their price, of the boards of limited lots when values are
// scaled by a factor.
func (pl *Planner) stock(s *search, out []priced, scale *big.Rat) *big.Rat {
	sum := new(big.Rat)
	for g := range out {
		if !s.limited(g) {
			continue
		}
		if e := pl.excess(g, &out[g], scale, s.boards); e.Sign() > 0 {
			most := new(big.Rat).SetFloat64(pl.p.Lots[g].Most)
			sum.Add(sum, e.Mul(e, most))
		}
	}
	return sum
}

// Limit sets the number of boards of a lot for later plans: most, or as many as are
// needed.
func (pl *Planner) Limit(lot int, limited bool, most float64) {
	pl.p.Lots[lot].Limited, pl.p.Lots[lot].Most = limited, most
}

// excess is how much an average board of a lot is worth more than it costs.
func (pl *Planner) excess(g int, p *priced, scale *big.Rat, boards bool) *big.Rat {
	lost := pl.p.Lost
	if boards {
		lost = Everything
	}
	// In 1e-12 of a unit of cost, times the scale's denominator.
	sum, total := new(big.Int), int64(0)
	million := big.NewInt(1_000_000 * Everything)
	for t, k := range pl.p.Lots[g].Kinds {
		cost := big.NewInt(pl.costOf(g, t, boards))
		cost.Mul(cost, scale.Denom())
		kept := p.worth[t].Big()
		kept.Mul(kept, scale.Num()).Mul(kept, million)
		kept.Sub(kept, new(big.Int).Mul(cost, big.NewInt(Everything)))
		aside := new(big.Int).Mul(cost, big.NewInt(-lost))
		if kept.Cmp(aside) < 0 {
			kept = aside
		}
		sum.Add(sum, kept.Mul(kept, big.NewInt(k.Count)))
		total += k.Count
	}
	over := new(big.Int).Mul(scale.Denom(), million)
	return new(big.Rat).SetFrac(sum, over.Mul(over, big.NewInt(total)))
}

// costOf is the cost of a board of one kind, in millionths.
func (pl *Planner) costOf(g, kind int, boards bool) int64 {
	if boards {
		return 1_000_000
	}
	return pl.cost[g][kind]
}

// fair gives the factor at which a lot's boards are together worth what they cost: the
// root of sum n max(s V - c, -lost c), in units of cost per unit of worth. The sum is
// convex and never decreases, so Newton's method converges to the root from above and stops
// at it. Nil: the lot gives nothing.
func (pl *Planner) fair(g int, p *priced, boards bool) *big.Rat {
	lot := &pl.p.Lots[g]
	lost := pl.p.Lost
	if boards {
		lost = Everything
	}
	aside := make([]bool, len(lot.Kinds))
	var scale *big.Rat
	for {
		// The cost of the boards kept, and the loss on the others, in 1e-12.
		cost, worth := new(big.Int), new(big.Int)
		for t, k := range lot.Kinds {
			part := int64(Everything)
			if aside[t] {
				part = lost
			} else {
				w := p.worth[t].Big()
				worth.Add(worth, w.Mul(w, big.NewInt(k.Count)))
			}
			c := new(big.Int).Mul(big.NewInt(pl.costOf(g, t, boards)), big.NewInt(k.Count))
			cost.Add(cost, c.Mul(c, big.NewInt(part)))
		}
		if worth.Sign() == 0 {
			return scale
		}
		scale = new(big.Rat).SetFrac(cost, worth)
		scale.Mul(scale, big.NewRat(1, Everything*1_000_000))
		if lost == Everything {
			return scale
		}
		more := false
		for t := range lot.Kinds {
			saved := big.NewRat(pl.costOf(g, t, boards), 1_000_000)
			saved.Mul(saved, big.NewRat(Everything-lost, Everything))
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
