package wood

import "github.com/ripwright/ripwright/solver/unit"

// perMetre is what a skew is counted per.
const perMetre = int64(unit.Millimetre) * 1000

// Skewed gives the board as it lies when the infeed sets it at an angle. A point (x, y)
// goes to (x, y + skew x - m), where m brings the least near edge to 0; skew is in
// nanometres per metre. A defect becomes the bounding rectangle of its image. The small
// change of lengths with the angle is neglected.
func (b *Board) Skewed(skew unit.Length) Board {
	shift := func(x unit.Length) unit.Length {
		v := int64(skew) * int64(x)
		if v < 0 {
			return -unit.Length((-v + perMetre/2) / perMetre)
		}
		return unit.Length((v + perMetre/2) / perMetre)
	}
	to := *b
	to.Stations = make([]Station, 0, len(b.Stations)+2)
	// Beyond the outermost stations the edges are level; skewed they are not.
	if first := b.Stations[0]; first.X > 0 {
		to.Stations = append(to.Stations, Station{0, first.Near, first.Far})
	}
	to.Stations = append(to.Stations, b.Stations...)
	if last := b.Stations[len(b.Stations)-1]; last.X < b.Length {
		to.Stations = append(to.Stations, Station{b.Length, last.Near, last.Far})
	}
	low := unit.Length(1 << 62)
	for i := range to.Stations {
		s := &to.Stations[i]
		s.Near, s.Far = s.Near+shift(s.X), s.Far+shift(s.X)
		low = min(low, s.Near)
	}
	for i := range to.Stations {
		to.Stations[i].Near -= low
		to.Stations[i].Far -= low
	}
	to.Defects = make([]Defect, len(b.Defects))
	for i, d := range b.Defects {
		from, end := shift(d.FromX)-low, shift(d.ToX)-low
		d.FromY, d.ToY = d.FromY+min(from, end), d.ToY+max(from, end)
		to.Defects[i] = d
	}
	return to
}
