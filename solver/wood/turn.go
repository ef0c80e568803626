package wood

import (
	"slices"

	"github.com/ripwright/ripwright/solver/unit"
)

// Turn is a way to turn a board before it is fed.
type Turn uint8

// The turns, the least of them first. Edges and defects are taken to be the same on
// either face. A point at (x, y) of a board of length l, whose edges lie between least
// and greatest y, then lies at
const (
	AsScanned    Turn = iota // (x, y): not turned
	EndForEnd                // (l - x, least + greatest - y): flat, the same face up
	EdgeOverEdge             // (x, least + greatest - y): over its long edge, the other face up
	EndOverEnd               // (l - x, y): over its end, the other face up
	Turns        int  = iota
)

// Ends reports whether the turn brings the other end to the front.
func (t Turn) Ends() bool { return t == EndForEnd || t == EndOverEnd }

// Edges reports whether the turn brings the other edge to the fence.
func (t Turn) Edges() bool { return t == EndForEnd || t == EdgeOverEdge }

func (t Turn) String() string {
	switch t {
	case EndForEnd:
		return "end for end"
	case EdgeOverEdge:
		return "edge over edge"
	case EndOverEnd:
		return "end over end"
	case AsScanned:
	}
	return "as scanned"
}

// Turned gives the board as it lies after a turn. A straight near edge that leaves the
// fence becomes an ordinary edge.
func (b *Board) Turned(t Turn) Board {
	to := *b
	if t.Edges() {
		near, _, _, far := b.Span()
		to = to.About(near + far)
		to.Defects = onBoards(to.Defects)
	}
	if t.Ends() {
		to = to.endForEnd()
	}
	return to
}

// onBoards cuts defects to where boards may lie: one that reached far beyond its board
// may reach too far on the other side.
func onBoards(all []Defect) []Defect {
	for i := range all {
		all[i].FromY, all[i].ToY = max(all[i].FromY, -MaxAcross), min(all[i].ToY, MaxAcross)
	}
	return slices.DeleteFunc(all, func(d Defect) bool { return d.FromY >= d.ToY })
}

// About gives the board with its far edge towards the fence: what lay at y lies at sum-y.
// It has no straight near edge.
func (b *Board) About(sum unit.Length) Board {
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

// endForEnd gives the board with its other end leading: distances from an end are from
// the other one.
func (b *Board) endForEnd() Board {
	t := *b
	t.Stations = make([]Station, len(b.Stations))
	for i, s := range b.Stations {
		s.X = b.Length - s.X
		t.Stations[len(b.Stations)-1-i] = s
	}
	t.Defects = make([]Defect, len(b.Defects))
	for i, d := range b.Defects {
		d.FromX, d.ToX = b.Length-d.ToX, b.Length-d.FromX
		t.Defects[i] = d
	}
	return t
}
