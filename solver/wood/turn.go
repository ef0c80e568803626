package wood

import "github.com/ripwright/ripwright/solver/unit"

// Turned gives the board turned about, its far edge towards the fence: what lay at
// y lies at sum - y. It has no straight near edge.
func (b *Board) Turned(sum unit.Length) Board {
	t := *b
	t.StraightNear = false
	t.Stations = make([]Station, len(b.Stations))
	for i, s := range b.Stations {
		t.Stations[i] = Station{X: s.X, Near: sum - s.Far, Far: sum - s.Near}
	}
	t.Defects = make([]Defect, len(b.Defects))
	for i, d := range b.Defects {
		t.Defects[i] = d
		t.Defects[i].FromY, t.Defects[i].ToY = sum-d.ToY, sum-d.FromY
	}
	return t
}
