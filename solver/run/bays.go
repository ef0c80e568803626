package run

import (
	"slices"

	"github.com/ripwright/ripwright/solver/unit"
)

// BayTotals are what the bays of an outfeed came to, of boards as they were planned.
type BayTotals struct {
	Changes  int32 // of bays that had a stack before
	Measured int32 // boards of which it is known what they were worth without a limit
	Face     Sum   // of those
	// What their plans are worth, what the best plans are worth that were found without a
	// limit, and what none is worth more than: less what cycles and turns cost.
	Worth, Free, Bound unit.Worth
	Lumber             []FreeFace `json:",omitempty"` // by order, in their sequence
}

// Bays adds a board with so many changes before it to what the bays came to.
func (r *Run) Bays(changes int) {
	for _, t := range r.sums() {
		t.bays().Changes += int32(changes) //nolint:gosec // at most as many as there are bays
	}
}

// BaysCost adds a board of a face that is worth so much, and without a limit at least free
// and at most bound.
func (r *Run) BaysCost(face unit.Area, worth, free, bound unit.Worth) {
	for _, t := range r.sums() {
		b := t.bays()
		b.Measured++
		b.Face.AddArea(face)
		b.Worth, b.Free, b.Bound = b.Worth.Add(worth), b.Free.Add(free), b.Bound.Add(bound)
	}
}

// bays gives them and has them be there.
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
