package wire

import (
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
)

// Saw converts a saw on its own, for the server's saw file. Paths start below
// the saw.
func Saw(m *ripwrightv1.Saw) (saw.Saw, fault.List) {
	var r reader
	p := at(nil, "")
	s := r.saw(&p, m)
	return s, join(r.faults, s.Faults())
}

func (r *reader) saw(p *place, m *ripwrightv1.Saw) saw.Saw {
	r.id(p, "name", m.GetName())
	out := saw.Saw{
		Kerf:       r.mm(p, "kerf_mm", m.GetKerfMm()),
		Step:       r.mm(p, "step_mm", m.GetStepMm()),
		Gap:        r.mm(p, "smallest_gap_mm", m.GetSmallestGapMm()),
		LeastStrip: r.mm(p, "least_strip_width_mm", m.GetLeastStripWidthMm()),
	}
	out.Trim = out.Kerf
	if m.EdgeTrimMm != nil {
		out.Trim = r.mm(p, "edge_trim_mm", m.GetEdgeTrimMm())
	}
	if m.Fence == nil {
		r.faults.Add(p.path("fence"), "is missing; say where the fence can stand")
	} else {
		f := at(p, "fence")
		out.Fence = r.travel(&f, m.GetFence())
	}
	if n := len(m.GetBlades()); n <= saw.MaxBlades {
		out.Blades = make([]saw.Blade, n)
		for i, b := range m.GetBlades() {
			q := nth(p, "blades", i)
			out.Blades[i] = r.blade(&q, b)
		}
	} else {
		r.faults.Add(p.path("blades"), "has %d entries; at most %d are taken", n, saw.MaxBlades)
	}
	if l := m.GetLimits(); l != nil {
		q := at(p, "limits")
		out.Limits = saw.Limits{
			MinLength:    r.mm(&q, "min_length_mm", l.GetMinLengthMm()),
			MaxLength:    r.mm(&q, "max_length_mm", l.GetMaxLengthMm()),
			MinWidth:     r.mm(&q, "min_width_mm", l.GetMinWidthMm()),
			MaxWidth:     r.mm(&q, "max_width_mm", l.GetMaxWidthMm()),
			MinThickness: r.mm(&q, "min_thickness_mm", l.GetMinThicknessMm()),
			MaxThickness: r.mm(&q, "max_thickness_mm", l.GetMaxThicknessMm()),
		}
	}
	if re := m.GetRerip(); re != nil {
		q := at(p, "rerip")
		out.Rerip = saw.Rerip{
			Width: r.mm(&q, "least_width_mm", re.GetLeastWidthMm()),
			Value: r.whole(&q, "value_per_m2", re.GetValuePerM2(), millionths, mostValue),
		}
	}
	return out
}

// millionths of money in one unit of it; mostValue is the greatest value taken.
const (
	millionths = 1e6
	mostValue  = float64(saw.MaxValue) / millionths
)

func (r *reader) blade(p *place, m *ripwrightv1.Blade) saw.Blade {
	switch mount := m.GetMount().(type) {
	case *ripwrightv1.Blade_FixedMm:
		return saw.Blade{At: r.mm(p, "fixed_mm", mount.FixedMm)}
	case *ripwrightv1.Blade_Moving:
		q := at(p, "moving")
		return saw.Blade{Moving: true, Travel: r.travel(&q, mount.Moving)}
	}
	r.faults.Add(p.path(""), "has no mount; set fixed_mm or moving")
	return saw.Blade{}
}

func (r *reader) travel(p *place, m *ripwrightv1.Travel) saw.Travel {
	t := saw.Travel{Min: r.mm(p, "min_mm", m.GetMinMm()), Max: r.mm(p, "max_mm", m.GetMaxMm())}
	t.Current = t.Min
	if m.CurrentMm != nil {
		t.Current = r.mm(p, "current_mm", m.GetCurrentMm())
	}
	return t
}

func (r *reader) positions(field string, in []float64) []unit.Length {
	out := make([]unit.Length, len(in))
	for i, v := range in {
		p := nth(nil, field, i)
		out[i] = r.position(&p, "", v)
	}
	return out
}

// position takes a place on the arbor.
func (r *reader) position(p *place, field string, v float64) unit.Length {
	l := r.mm(p, field, v)
	if l < -saw.MaxPosition || l > saw.MaxPosition {
		r.faults.Add(p.path(field), "is %g; must be %g to %g", v, -saw.MaxPosition.MM(), saw.MaxPosition.MM())
	}
	return l
}
