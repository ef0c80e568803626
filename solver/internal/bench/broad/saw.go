package broad

import (
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
)

// saw draws kerf, gap and the places of blades. Each has a home, with pockets of 45 to
// 110 mm between homes; moving blades travel about it, or over the whole arbor. Fixed
// blades mostly stand so that the space between two of them is a width of the order, as a
// mill sets them.
func (d *draw) saw(s *saw.Saw) {
	homes := d.homes(s)
	first := homes[0]
	for j := len(homes) - 1; j >= 0; j-- {
		if d.Arbor.Blades[j] == 'F' {
			first = homes[j]
		}
	}
	s.Fence.Max = first / d.step * d.step
	s.Fence.Min = s.Fence.Max - d.stop([]float64{100, 250, 250, 400}[d.IntN(4)])
	s.Fence.Current = s.Fence.Min + d.stop(d.Float64()*(s.Fence.Max-s.Fence.Min).MM())
	s.Fence.Current = min(s.Fence.Current, s.Fence.Max)
	for j, kind := range d.Arbor.Blades {
		if kind == 'F' {
			s.Blades = append(s.Blades, saw.Blade{At: homes[j]})
			continue
		}
		t := saw.Travel{Min: 0, Max: d.stop(max(900, d.width+600))}
		if d.Travel != "wide" {
			about := map[string]unit.Length{"150": 150 * mm, "60": 60 * mm}[d.Travel] / d.step * d.step
			home := homes[j] / d.step * d.step
			t = saw.Travel{Min: home - about, Max: home + about}
		}
		t.Current = min(max(homes[j]/d.step*d.step+d.stop(d.between(-40, 40)), t.Min), t.Max)
		s.Blades = append(s.Blades, saw.Blade{Moving: true, Travel: t})
	}
}

// homes places the blades along the arbor.
func (d *draw) homes(s *saw.Saw) []unit.Length {
	var fitting []unit.Length
	for _, it := range d.Problem.Items {
		if it.Min >= 45*mm && it.Min <= 110*mm {
			fitting = append(fitting, it.Min)
		}
	}
	at := d.stop(d.between(250, 450))
	homes := make([]unit.Length, len(d.Arbor.Blades))
	for j := range homes {
		if j > 0 {
			pocket := d.stop(d.between(45, 110))
			if d.Arbor.Blades[j-1:j+1] == "FF" && len(fitting) > 0 && d.chance(0.7) {
				pocket = fitting[d.IntN(len(fitting))]
			}
			at += pocket + s.Kerf
		}
		homes[j] = at
		if d.Arbor.OffStep && d.Arbor.Blades[j] == 'F' {
			homes[j] += unit.Length(d.IntN(int(d.step/unit.Micrometre))) * unit.Micrometre
		}
	}
	return homes
}

// cutting draws the kerf and what may lie between blades.
func (d *draw) cutting(s *saw.Saw) {
	s.Step = d.step
	s.Kerf = d.coarse([]float64{2.4, 2.8, 3.2, 3.6, 4, 4.8}[d.IntN(6)])
	s.Gap = d.coarse(d.between(15, 32))
	s.LeastStrip = min(d.coarse(d.between(12, 25)), s.Gap)
	s.Trim = s.Kerf
	if d.chance(0.3) {
		s.Trim = d.coarse(d.between(0, 6))
	}
}
