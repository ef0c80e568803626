package wire

import (
	"time"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/run"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
)

// Machine is a saw with the parts that the solver does not use.
type Machine struct {
	saw.Saw
	Pace    run.Pace
	Message *ripwrightv1.Saw // from which it was read; must not be changed
}

// Mark distinguishes saws in metrics: the name, and the words for the last change of
// their blades. Callers choose both.
type Mark struct{ Saw, Changed string }

// Mark of the saw.
func (m *Machine) Mark() Mark {
	return Mark{Saw: m.Message.GetName(), Changed: m.Message.GetBladesChanged()}
}

// Whole is the fingerprint of the whole saw, including its pace; see saw.Fingerprint.
func (m *Machine) Whole() string {
	overlaps := int64(0)
	if m.Pace.Overlaps {
		overlaps = 1
	}
	return m.Fingerprint(saw.Figure{Name: "feed", Value: m.Pace.Feed}, saw.Figure{Name: "positioning", Value: m.Pace.Positioning},
		saw.Figure{Name: "handling", Value: int64(m.Pace.Handling)}, saw.Figure{Name: "positioning overlaps handling", Value: overlaps})
}

// Saw converts a single saw, for the server's saw file. Paths start below the saw.
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
		Feed:        r.maybe(p, "feed_m_per_min", m.FeedMPerMin, 1e9, feed),
		Positioning: r.maybe(p, "positioning_mm_per_s", m.PositioningMmPerS, 1e6, positioning),
		Handling:    time.Duration(r.whole(p, "handling_s", m.GetHandlingS(), 1e9, handling)),
		Overlaps:    m.GetPositioningOverlapsHandling(),
	}}
}

func (r *reader) saw(p *place, m *ripwrightv1.Saw) saw.Saw {
	r.text(p, "name", m.GetName(), ids)
	r.text(p, "blades_changed", m.GetBladesChanged(), changedBlades)
	if m.KerfMm == nil {
		r.faults.Because(fault.Missing, p.path("kerf_mm"), "is missing; give the width of a blade's cut")
	}
	out := saw.Saw{
		Kerf:       r.mm(p, "kerf_mm", m.GetKerfMm(), kerf),
		Step:       r.mm(p, "step_mm", m.GetStepMm(), step),
		Gap:        r.mm(p, "min_gap_mm", m.GetMinGapMm(), gap),
		LeastStrip: r.mm(p, "min_strip_width_mm", m.GetMinStripWidthMm(), gap),
	}
	out.Skew = r.mm(p, "max_skew_mm_per_m", m.GetMaxSkewMmPerM(), skewLimit)
	out.Turns = r.turnings(p, m.GetTurns())
	out.Trim = out.Kerf
	if m.EdgeTrimMm != nil {
		out.Trim = r.mm(p, "edge_trim_mm", m.GetEdgeTrimMm(), kerf)
	}
	if m.Fence == nil {
		r.faults.Because(fault.Missing, p.path("fence"), "is missing; give the travel of the fence")
	} else {
		f := at(p, "fence")
		out.Fence = r.travel(&f, m.GetFence())
	}
	if n := len(m.GetBlades()); n == 0 {
		r.faults.Because(fault.Missing, p.path("blades"), "is empty; must have %s entries", blades)
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
			MinLength:    r.maybeMM(&q, "min_length_mm", l.MinLengthMm, leastLimit),
			MaxLength:    r.maybeMM(&q, "max_length_mm", l.MaxLengthMm, mostLimit),
			MinWidth:     r.maybeMM(&q, "min_width_mm", l.MinWidthMm, leastLimit),
			MaxWidth:     r.maybeMM(&q, "max_width_mm", l.MaxWidthMm, mostLimit),
			MinThickness: r.maybeMM(&q, "min_thickness_mm", l.MinThicknessMm, leastLimit),
			MaxThickness: r.maybeMM(&q, "max_thickness_mm", l.MaxThicknessMm, mostLimit),
		}
	}
	if re := m.GetRerip(); re != nil {
		q := at(p, "rerip")
		out.Rerip = saw.Rerip{
			Width: r.mm(&q, "min_width_mm", re.GetMinWidthMm(), reripWidth),
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
	r.faults.Because(fault.Missing, p.path(""), "has no mount; set fixed_mm or moving")
	return saw.Blade{}
}

func (r *reader) travel(p *place, m *ripwrightv1.Travel) saw.Travel {
	t := saw.Travel{Min: r.mm(p, "min_mm", m.GetMinMm(), position), Max: r.mm(p, "max_mm", m.GetMaxMm(), position)}
	t.Current = t.Min
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
