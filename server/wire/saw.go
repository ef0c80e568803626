package wire

import (
	"time"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/run"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
)

// Machine is a saw with what the solver has no use for.
type Machine struct {
	saw.Saw
	Pace    run.Pace
	Message *ripwrightv1.Saw // that it was read from; must not be changed
}

// Saw converts a saw on its own, for the server's saw file. Paths start below
// the saw.
func Saw(m *ripwrightv1.Saw) (Machine, fault.List) {
	var r reader
	p := at(nil, "")
	s := r.machine(&p, m)
	if len(r.faults) > 0 {
		return s, r.faults
	}
	return s, s.Faults()
}

func (r *reader) machine(p *place, m *ripwrightv1.Saw) Machine {
	return Machine{Saw: r.saw(p, m), Message: m, Pace: run.Pace{
		Feed:        r.whole(p, "feed_m_per_min", m.GetFeedMPerMin(), 1e9, feed),
		Positioning: r.whole(p, "positioning_mm_per_s", m.GetPositioningMmPerS(), 1e6, positioning),
		Handling:    time.Duration(r.whole(p, "handling_s", m.GetHandlingS(), 1e9, handling)),
		Overlaps:    m.GetPositioningOverlapsHandling(),
	}}
}

func (r *reader) saw(p *place, m *ripwrightv1.Saw) saw.Saw {
	r.text(p, "name", m.GetName(), ids)
	out := saw.Saw{
		Kerf:       r.mm(p, "kerf_mm", m.GetKerfMm(), kerf),
		Step:       r.mm(p, "step_mm", m.GetStepMm(), step),
		Gap:        r.mm(p, "smallest_gap_mm", m.GetSmallestGapMm(), gap),
		LeastStrip: r.mm(p, "least_strip_width_mm", m.GetLeastStripWidthMm(), gap),
	}
	out.Skew = r.mm(p, "skew_limit_mm_per_m", m.GetSkewLimitMmPerM(), skewLimit)
	out.Trim = out.Kerf
	if m.EdgeTrimMm != nil {
		out.Trim = r.mm(p, "edge_trim_mm", m.GetEdgeTrimMm(), kerf)
	}
	if m.Fence == nil {
		r.faults.Add(p.path("fence"), "is missing; say where the fence can stand")
	} else {
		f := at(p, "fence")
		out.Fence = r.travel(&f, m.GetFence())
	}
	if n := len(m.GetBlades()); n == 0 {
		r.faults.Add(p.path("blades"), "is empty; must have %s entries", blades)
	} else if r.entries(p, "blades", n, blades) {
		out.Blades = make([]saw.Blade, len(m.GetBlades()))
		for i, b := range m.GetBlades() {
			q := nth(p, "blades", i)
			out.Blades[i] = r.blade(&q, b)
		}
	}
	if l := m.GetLimits(); l != nil {
		q := at(p, "limits")
		out.Limits = saw.Limits{
			MinLength:    r.mm(&q, "min_length_mm", l.GetMinLengthMm(), anyLimit),
			MaxLength:    r.mm(&q, "max_length_mm", l.GetMaxLengthMm(), anyLimit),
			MinWidth:     r.mm(&q, "min_width_mm", l.GetMinWidthMm(), anyLimit),
			MaxWidth:     r.mm(&q, "max_width_mm", l.GetMaxWidthMm(), anyLimit),
			MinThickness: r.mm(&q, "min_thickness_mm", l.GetMinThicknessMm(), anyLimit),
			MaxThickness: r.mm(&q, "max_thickness_mm", l.GetMaxThicknessMm(), anyLimit),
		}
	}
	if re := m.GetRerip(); re != nil {
		q := at(p, "rerip")
		out.Rerip = saw.Rerip{
			Width: r.mm(&q, "least_width_mm", re.GetLeastWidthMm(), reripWidth),
			Value: r.whole(&q, "value_per_m2", re.GetValuePerM2(), millionths, value),
		}
	}
	return out
}

func (r *reader) blade(p *place, m *ripwrightv1.Blade) saw.Blade {
	switch mount := m.GetMount().(type) {
	case *ripwrightv1.Blade_FixedMm:
		return saw.Blade{At: r.mm(p, "fixed_mm", mount.FixedMm, position)}
	case *ripwrightv1.Blade_Moving:
		q := at(p, "moving")
		return saw.Blade{Moving: true, Travel: r.travel(&q, mount.Moving)}
	}
	r.faults.Add(p.path(""), "has no mount; set fixed_mm or moving")
	return saw.Blade{}
}

func (r *reader) travel(p *place, m *ripwrightv1.Travel) saw.Travel {
	t := saw.Travel{Min: r.mm(p, "min_mm", m.GetMinMm(), position), Max: r.mm(p, "max_mm", m.GetMaxMm(), position)}
	t.Current = t.Min
	if m.CurrentMm != nil {
		t.Current = r.mm(p, "current_mm", m.GetCurrentMm(), position)
	}
	return t
}

func (r *reader) positions(in *place, field string, stand []float64) []unit.Length {
	out := make([]unit.Length, len(stand))
	for i, v := range stand {
		p := nth(in, field, i)
		out[i] = r.mm(&p, "", v, position)
	}
	return out
}
