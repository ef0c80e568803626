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
	// Broken lists every rule that the setting breaks, by field: fence_mm,
	// blades_mm[i] or skew_mm_per_m.
	Broken []Broken
	// EndedBy is the limit that ended the assignment, if any: the items are then the best
	// assignment found.
	EndedBy Limit
	// Memory is the most bytes that it held at the same time.
	Memory int64
}

// Rule is a rule that a setting has to keep.
type Rule uint8

// The rules of a setting.
const (
	FenceTravel      Rule = iota + 1 // the fence stands within its travel
	FenceStep                        // the fence stands at a whole multiple of the step
	BladeTravel                      // a moving blade stands within its travel
	BladeStep                        // a moving blade stands at a whole multiple of the step
	BladeFixed                       // a fixed blade stands where the saw has it
	BladeGap                         // blades stand in their order with the least gap between neighbours
	SkewStraightEdge                 // a board with a straight near edge lies along the fence
	SkewLimit                        // the skew is within the infeed's limit
	SkewStep                         // the skew is a whole multiple of the step per m
	TurnMade                         // the board is turned only as the saw says
	TurnStraightEdge                 // a straight near edge stays at the fence
)

// Broken is a rule that a setting breaks, and where.
type Broken struct {
	Rule Rule
	fault.Fault
}

// Check scores a fence position and a position for every blade, in the blades' order
// along the arbor. Positions that break a rule of the saw are scored as they are, so they
// may be worth more than any valid plan. Of the options, only the limits matter: if one
// of them ends the check, the items are the best assignment so far.
func Check(p *Problem, skew, fence unit.Length, blades []unit.Length, o Options) (*Checked, error) {
	l := p.Faults()
	if len(blades) != len(p.Saw.Blades) {
		l.Add("blades_mm", "has %d entries; the saw has %d blades", len(blades), len(p.Saw.Blades))
	}
	if apart(skew, 0) > saw.MaxSkew {
		l.Because(fault.OutOfRange, "skew_mm_per_m", "is %g; must be %g to %g", skew.MM(), -saw.MaxSkew.MM(), saw.MaxSkew.MM())
	}
	const far = 2 * 5_000 * unit.Millimetre
	if apart(fence, 0) > far {
		l.Because(fault.OutOfRange, "fence_mm", "is %g; must be %g to %g", fence.MM(), -far.MM(), far.MM())
	}
	for i, a := range blades {
		if apart(a, 0) > far {
			l.Because(fault.OutOfRange, fmt.Sprintf("blades_mm[%d]", i), "is %g; must be %g to %g", a.MM(), -far.MM(), far.MM())
		}
	}
	if len(l) > 0 {
		return nil, l
	}
	c := &Checked{Broken: broken(p, skew, fence, blades)}
	b := o.Budget()
	ready, faults := prepare(p, b, true, p.widths(fence, blades))
	if len(faults) > 0 {
		return nil, faults
	}
	ready.tests = o.tests
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

// widths gives the widths of the pockets of a setting.
func (p *Problem) widths(fence unit.Length, blades []unit.Length) (all []int64) {
	if p.Board.StraightNear {
		all = append(all, int64(blades[0]-fence))
	}
	for j := 1; j < len(blades); j++ {
		left := blades[j-1] + p.Saw.Kerf
		if p.Board.StraightNear {
			left = max(left, fence)
		}
		all = append(all, int64(blades[j]-left))
	}
	return all
}

// within reports whether a blade stands in the pocket between two arbor positions, which
// is only possible for blades out of order.
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
func broken(p *Problem, skew, fence unit.Length, blades []unit.Length) (all []Broken) {
	s := &p.Saw
	breaks := func(r Rule, path, format string, args ...any) {
		all = append(all, Broken{r, fault.Fault{Path: path, Says: fmt.Sprintf(format, args...)}})
	}
	stop := func(travel, step Rule, path string, a, lo, hi unit.Length) {
		if a < lo || a > hi {
			breaks(travel, path, "is %g; the travel is %g to %g", a.MM(), lo.MM(), hi.MM())
		}
		if a%s.Step != 0 {
			breaks(step, path, "is %g; stops are whole multiples of %g", a.MM(), s.Step.MM())
		}
	}
	switch {
	case p.Board.StraightNear && skew != 0:
		breaks(SkewStraightEdge, "skew_mm_per_m", "is %g; a board with a straight near edge lies along the fence", skew.MM())
	case apart(skew, 0) > s.Skew:
		breaks(SkewLimit, "skew_mm_per_m", "is %g; the infeed's limit is %g either way", skew.MM(), s.Skew.MM())
	case skew%s.Step != 0:
		breaks(SkewStep, "skew_mm_per_m", "is %g; stops are whole multiples of %g", skew.MM(), s.Step.MM())
	}
	stop(FenceTravel, FenceStep, "fence_mm", fence, s.Fence.Min, s.Fence.Max)
	for i, a := range blades {
		path := fmt.Sprintf("blades_mm[%d]", i)
		if b := s.Blades[i]; b.Moving {
			stop(BladeTravel, BladeStep, path, a, b.Travel.Min, b.Travel.Max)
		} else if a != b.At {
			breaks(BladeFixed, path, "is %g; this blade is fixed at %g", a.MM(), b.At.MM())
		}
		if i > 0 && a-blades[i-1]-s.Kerf < s.Gap {
			breaks(BladeGap, path, "is %g; the blade before it and the least gap leave no room below %g",
				a.MM(), (blades[i-1] + s.Kerf + s.Gap).MM())
		}
	}
	return all
}
