package wire

import (
	"slices"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
)

// stands sets the current positions of a saw's fence and moving blades, and gives the
// current skew if the request does. A saw from the saw file is shared, so its blades are
// copied.
func (r *reader) stands(s *saw.Saw, m *ripwrightv1.Setting) *float64 {
	if m == nil {
		return nil
	}
	return r.standing(s, at(nil, "current_setting"), m, 0)
}

// Stand is the measured positions of a saw.
type Stand struct {
	At   []unit.Length // the fence first, then all blades
	lies *float64      // the skew; nil: not measured
}

// measured reads the positions of a saw; nil: none are given. They may lie half a step
// beyond a travel, and then count as its end.
func (r *reader) measured(s saw.Saw, m *ripwrightv1.Setting) *Stand {
	if m == nil {
		return nil
	}
	p := at(nil, "measured_setting")
	if m.FenceMm == nil {
		r.faults.Because(fault.Missing, p.path("fence_mm"), "is missing")
	}
	if len(m.GetBladesMm()) == 0 && len(s.Blades) > 0 {
		r.faults.Because(fault.Missing, p.path("blades_mm"), "is empty; must say where each of the %d blades stands", len(s.Blades))
	}
	lies := r.standing(&s, p, m, s.Step/2)
	return &Stand{standing(&s), lies}
}

// standing reads a setting that may lie up to beyond outside a travel.
func (r *reader) standing(s *saw.Saw, p place, m *ripwrightv1.Setting, beyond unit.Length) *float64 {
	// Positions on a faulty saw are not judged.
	sound := !slices.ContainsFunc(r.faults, func(f fault.Fault) bool { return inside("saw", f.Path) || f.Path == "saw_name" }) && len(s.Faults()) == 0
	if m.FenceMm != nil {
		a := r.mm(&p, "fence_mm", m.GetFenceMm(), position)
		switch {
		case !sound || !position.Holds(m.GetFenceMm()):
		case a < s.Fence.Min-beyond || a > s.Fence.Max+beyond:
			r.faults.Add(p.path("fence_mm"), "is %g; must lie within the travel, %g to %g", a.MM(), s.Fence.Min.MM(), s.Fence.Max.MM())
		default:
			s.Fence.Current = min(max(a, s.Fence.Min), s.Fence.Max)
		}
	}
	if m.SkewMmPerM != nil {
		r.number(&p, "skew_mm_per_m", m.GetSkewMmPerM(), skew)
	}
	r.turn(&p, m.Turn)
	n := len(m.GetBladesMm())
	if n == 0 || !r.entries(&p, "blades_mm", n, settingBlades) {
		return m.SkewMmPerM
	}
	stand := r.positions(&p, "blades_mm", m.GetBladesMm())
	if !sound {
		return m.SkewMmPerM
	}
	if has := len(s.Blades); n != has {
		r.faults.Add(p.path("blades_mm"), "has %d entries; the saw has %d blades", n, has)
		return m.SkewMmPerM
	}
	s.Blades = slices.Clone(s.Blades)
	for i, a := range stand {
		q := nth(&p, "blades_mm", i)
		switch b := &s.Blades[i]; {
		case !position.Holds(m.GetBladesMm()[i]):
		case b.Moving && (a < b.Travel.Min-beyond || a > b.Travel.Max+beyond):
			r.faults.Add(q.path(""), "is %g; must lie within the travel, %g to %g", a.MM(), b.Travel.Min.MM(), b.Travel.Max.MM())
		case b.Moving:
			b.Travel.Current = min(max(a, b.Travel.Min), b.Travel.Max)
		case max(a-b.At, b.At-a) > s.Step/2:
			r.faults.Add(q.path(""), "is %g; this blade is fixed at %g, so plans for this saw would not fit the arbor", a.MM(), b.At.MM())
		}
	}
	return m.SkewMmPerM
}
