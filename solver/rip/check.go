package rip

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
)

// Checked is a setting that someone else chose, scored by the solver's rules.
type Checked struct {
	// Plan holds the positions as given, with the items assigned optimally.
	Plan *Plan
	// Broken lists every rule that the setting breaks, by field: fence_mm or
	// blades_mm[i].
	Broken fault.List
	// EndedBy is the limit that ended the assigning, if any: the items are the best
	// assignment that was found then.
	EndedBy Limit
	// Memory is the most bytes that it held at the same time.
	Memory int64
}

// Check scores a fence position and a position for every blade, in the blades'
// order along the arbor. Positions that break a rule of the saw are scored as they
// stand all the same, so they may be worth more than any valid plan. Of the
// options the limits matter: where one of them ends it, the items are the best
// assignment so far.
func Check(p *Problem, skew, fence unit.Length, blades []unit.Length, o Options) (*Checked, error) {
	l := p.Faults()
	if len(blades) != len(p.Saw.Blades) {
		l.Add("blades_mm", "has %d entries; the saw has %d blades", len(blades), len(p.Saw.Blades))
	}
	if apart(skew, 0) > saw.MaxSkew {
		l.Add("skew_mm_per_m", "is %g; must be %g to %g", skew.MM(), -saw.MaxSkew.MM(), saw.MaxSkew.MM())
	}
	const far = 2 * 5_000 * unit.Millimetre
	if apart(fence, 0) > far {
		l.Add("fence_mm", "is %g; must be %g to %g", fence.MM(), -far.MM(), far.MM())
	}
	for i, a := range blades {
		if apart(a, 0) > far {
			l.Add(fmt.Sprintf("blades_mm[%d]", i), "is %g; must be %g to %g", a.MM(), -far.MM(), far.MM())
		}
	}
	if len(l) > 0 {
		return nil, l
	}
	c := &Checked{Broken: broken(p, skew, fence, blades)}
	b := o.Budget()
	ready, faults := prepare(p, b)
	if len(faults) > 0 {
		return nil, faults
	}
	in := ready.at(skew)
	for j, a := range blades {
		in.blades[j] = blade{lo: int64(a), hi: int64(a)}
		in.crossed = in.crossed || j > 0 && a < blades[j-1]+p.Saw.Kerf
	}
	s := newSearch(in, 0, b)
	defer s.release()
	s.pool.skew = int64(skew)
	guarded(func() {
		s.prepare()
		s.aim(fences{int64(fence), int64(fence)}, nil, nil)
		s.sweep()
	})
	if len(s.pool.plans) == 0 {
		f := in.idle(int64(skew))
		f.fence = int64(fence)
		s.pool.plans = append(s.pool.plans, f)
	}
	c.EndedBy = b.Ended()
	_, c.Memory = b.Held()
	c.Plan = in.build(s.pool.plans[0])
	return c, nil
}

// within reports whether a blade stands in the pocket between two arbor positions,
// which only blades out of order can.
func (in *instance) within(left, right int64) bool {
	if !in.crossed {
		return false
	}
	for _, b := range in.blades {
		if b.lo < right && b.lo+in.kerf > left {
			return true
		}
	}
	return false
}

// broken lists the rules of the saw that a setting breaks.
func broken(p *Problem, skew, fence unit.Length, blades []unit.Length) fault.List {
	var l fault.List
	s := &p.Saw
	stop := func(path string, a, lo, hi unit.Length) {
		if a < lo || a > hi {
			l.Add(path, "is %g; the travel is %g to %g", a.MM(), lo.MM(), hi.MM())
		}
		if a%s.Step != 0 {
			l.Add(path, "is %g; stops are whole multiples of %g", a.MM(), s.Step.MM())
		}
	}
	switch {
	case p.Board.StraightNear && skew != 0:
		l.Add("skew_mm_per_m", "is %g; a board with a straight near edge lies along the fence", skew.MM())
	case apart(skew, 0) > s.Skew:
		l.Add("skew_mm_per_m", "is %g; the infeed's limit is %g either way", skew.MM(), s.Skew.MM())
	case skew%s.Step != 0:
		l.Add("skew_mm_per_m", "is %g; stops are whole multiples of %g", skew.MM(), s.Step.MM())
	}
	stop("fence_mm", fence, s.Fence.Min, s.Fence.Max)
	for i, a := range blades {
		path := fmt.Sprintf("blades_mm[%d]", i)
		if b := s.Blades[i]; b.Moving {
			stop(path, a, b.Travel.Min, b.Travel.Max)
		} else if a != b.At {
			l.Add(path, "is %g; this blade is fixed at %g", a.MM(), b.At.MM())
		}
		if i > 0 && a-blades[i-1]-s.Kerf < s.Gap {
			l.Add(path, "is %g; the blade before it and the smallest gap leave no room below %g",
				a.MM(), (blades[i-1] + s.Kerf + s.Gap).MM())
		}
	}
	return l
}
