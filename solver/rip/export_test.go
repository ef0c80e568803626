package rip

import (
	"github.com/ripwright/ripwright/solver/internal/search/incumbent"
	"github.com/ripwright/ripwright/solver/internal/search/model"
	"github.com/ripwright/ripwright/solver/unit"
)

// WithoutStates makes bounds keep no cap by states, so that even small problems show the
// effect of tolls.
func WithoutStates(o Options) Options {
	o.tests.states = 1
	return o
}

// CrudeBounds gives the bounds by sizes alone: over all angles with all items prepared
// and with none, and for a board that cannot be skewed as it lies.
func CrudeBounds(p *Problem) map[string]unit.Worth {
	all, _ := prepare(p, (&Options{}).Budget(), true, nil)
	none, _ := prepare(p, (&Options{Memory: 1}).Budget(), true, nil)
	bounds := map[string]unit.Worth{"of items made ready": all.crude(p.skews()), "of items not made ready": none.crude(p.skews()), "of nothing made ready": Bound(p)}
	if p.Saw.Skew == 0 {
		bounds["as it lies"] = all.at(0).crude()
		bounds["as it lies, none made ready"] = none.at(0).crude()
	}
	return bounds
}

// Started is what start heuristics offered.
type Started struct {
	Offered, Valid int
	Least          int64 // the least difference of a plan's exact worth and the claimed one
}

// Starters runs the start heuristics alone.
func Starters(p *Problem) (s Started) {
	r, _ := prepare(p, new(Options).Budget(), true, nil)
	in := r.at(0)
	shift := in.coarse()
	h := incumbent.New(in.outlined(), incumbent.Options{Offer: func(plan *incumbent.Plan) {
		to := path{plan.Blades, make([]int16, len(plan.Items))}
		for i, k := range plan.Items {
			to.wants[i] = int16(k)
		}
		s.Offered++
		if sc, ok := in.rate(plan.Fence, &to); ok {
			s.Valid++
			s.Least = min(s.Least, cutShort(sc.Worth, shift)-plan.Worth)
		}
	}})
	h.Start()
	h.Tables()
	h.Improve()
	return s
}

// Compare compares plans as the search by intervals does.
func Compare(a, b *model.Plan) int {
	of := func(p *model.Plan) *found {
		f := &found{score: p.Score, skew: p.Skew, fence: p.Fence, path: path{blades: p.Blades}}
		for _, w := range p.Wants {
			f.path.wants = append(f.path.wants, int16(w))
		}
		return f
	}
	return of(a).cmp(of(b))
}
