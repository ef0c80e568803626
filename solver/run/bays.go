package run

import (
	"slices"

	"github.com/ripwright/ripwright/solver/unit"
)

// BayTotals are totals of an outfeed's bays, over boards as they were planned.
type BayTotals struct {
	Changes  int32 // of bays that had a stack before
	Measured int32 // boards with a known worth without a limit
	Face     Sum   // of those
	// The worth of their plans, the worth of the best plans found without a limit, and
	// the bound of that worth: less the cost of cycles and turns.
	Worth, Free, Bound unit.Worth
	Lumber             []FreeFace `json:",omitempty"` // by order, in their sequence
}

// Bays adds a board with a number of changes before it to the totals of the bays.
func (r *Run) Bays(changes int) {
	for _, t := range r.sums() {
		t.bays().Changes += int32(changes) // at most as many as there are bays
	}
}

// BaysCost adds a board of a face with the worth of its plan; without a limit it is worth
// at least free and at most bound.
func (r *Run) BaysCost(face unit.Area, worth, free, bound unit.Worth) {
	for _, t := range r.sums() {
		b := t.bays()
		b.Measured++
		b.Face.AddArea(face)
		b.Worth, b.Free, b.Bound = b.Worth.Add(worth), b.Free.Add(free), b.Bound.Add(bound)
	}
}

// bays gives the totals of bays, created if need be.
func (t *Totals) bays() *BayTotals {
	if t.Bays == nil {
		t.Bays = &BayTotals{}
	}
	return t.Bays
}

func (b *BayTotals) bounded() bool {
	if b == nil {
		return true
	}
	return b.Changes >= 0 && b.Measured >= 0 && len(b.Lumber) <= MaxEntries && !slices.ContainsFunc(b.Lumber, func(f FreeFace) bool {
		return f.Boards < 0 || f.FreeBoards < 0 || f.FreeBoards > f.Boards || f.Stopped < 0 || f.AsBays < 0
	})
}
