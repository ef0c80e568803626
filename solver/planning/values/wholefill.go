package values

import (
	"math"
	"slices"

	"github.com/ripwright/ripwright/solver/planning/demand"
	"github.com/ripwright/ripwright/solver/rip"
)

// fill takes whole parts repeatedly, then single boards.
func (pl *Planner) fill(plan *Plan, open []int64, tilt float64, o *Options) (*Whole, error) {
	w, open := none(), slices.Clone(open)
	for !filled(open) {
		if pl.floors(w, plan, open, 0) == 0 {
			p, err := pl.last(plan, open, tilt, o)
			if err != nil || p == nil {
				return w, err
			}
			pl.put(w, open, *p)
		}
		if o.stopped() || w.Boards > mostWhole {
			return w, nil
		}
		if filled(open) {
			break
		}
		var err error
		if plan, err = pl.Plan(open, *o); err != nil || len(plan.uses) == 0 {
			return w, err
		}
	}
	w.Filled = true
	return w, nil
}

// floors takes the whole part of every policy's boards, less held, and gives their
// number.
func (pl *Planner) floors(w *Whole, plan *Plan, open []int64, held int64) (took int64) {
	for _, u := range plan.uses {
		if n := int64(u.boards+wholeWithin) - held; n > 0 && u.policy.plan != nil {
			took += n
			pl.put(w, open, u.pattern(n))
		}
	}
	return took
}

func (u use) pattern(n int64) Pattern {
	return Pattern{Lot: u.policy.lot, Times: n, Plan: u.policy.plan, Items: u.policy.kept}
}

// last rips one board for what is left, of the lot that gives most for its cost; nil: none
// was found.
func (pl *Planner) last(plan *Plan, open []int64, tilt float64, o *Options) (*Pattern, error) {
	values := make([]int64, len(open))
	top := 0.0
	for k, v := range plan.ToCut {
		v *= pl.tilt(k, tilt)
		top = math.Max(top, v)
	}
	if top == 0 {
		return nil, nil
	}
	for k, v := range plan.ToCut {
		values[k] = int64(v * pl.tilt(k, tilt) / top * most)
	}
	items := pl.Demand.Valued(values, open)
	// Items that are not open are not cut here.
	asked := map[int]bool{}
	for k := range open {
		if open[k] > 0 {
			asked[pl.Demand.Rows[k].Item] = true
		}
	}
	var kept []int
	for i := range items {
		if asked[i] {
			items[len(kept)] = items[i]
			kept = append(kept, i)
		}
	}
	items = items[:len(kept)]
	var best *Pattern
	rate := 0.0
	for g := range pl.p.Lots {
		if len(items) == 0 {
			break
		}
		q := rip.Problem{Board: pl.p.Lots[g].Kinds[0].Board, Saw: *pl.saw(g), Items: items}
		q.Saw.Rerip.Width = 0
		r, err := demand.Solve(&q, rip.Options{Stop: o.Stop, Work: cappedWork, Memory: o.Memory})
		if demand.Refused(err) {
			continue
		}
		if l := tooManyWays(&q, err, kept); l != nil {
			return nil, l
		}
		if err != nil {
			return nil, err
		}
		pl.work.Add(r.Work)
		o.Solved()
		if worth := r.Best.Worth.Money() / (float64(pl.cost[g][0]) / 1e6); worth > rate {
			rate, best = worth, &Pattern{Lot: g, Times: 1, Plan: r.Best, Items: kept}
		}
	}
	if best != nil {
		return best, nil
	}
	// A search that its limit ended early finds nothing: take the most used policy of the
	// fractional plan.
	boards := 0.0
	for _, u := range plan.uses {
		if u.policy.plan != nil && u.boards > boards {
			p := u.pattern(1)
			boards, best = u.boards, &p
		}
	}
	return best, nil
}

func (pl *Planner) tilt(k int, power float64) float64 {
	return math.Pow(pl.p.Items[pl.Demand.Rows[k].Item].Min.MM(), power)
}
