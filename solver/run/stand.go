package run

import (
	"slices"

	"github.com/ripwright/ripwright/solver/unit"
)

// Basis is how the positions of fence and blades are known.
type Basis int

// The bases.
const (
	// Assumed: a board was not cut, or not as planned, and nothing was measured since, so
	// they are taken to stand where they stood before it.
	StandAssumed  Basis = iota
	StandSetUp          // set when the run began, or its saw came into force
	StandMeasured       // as measured
	StandCut            // by the plan of a board that was cut
	StandAhead          // by the plan of a board that waits for its confirmation
)

// Known is how the run's Positions are known.
type Known struct {
	By    Basis
	Board int32 // sequence of the board that set them; 0: none
	// Saw is the message that brought the saw in force: boards before it were planned for
	// another.
	Saw int32
}

// Start gives the positions of fence and blades when the next board comes to the saw, the
// fence first; empty: those of the saw. now are the positions as measured, nil if not
// measured: they do not matter while a board waits whose plan moves the axes first.
func (r *Run) Start(now []unit.Length) ([]unit.Length, Known) {
	n := len(r.Held)
	for n > 0 && r.Held[n-1].Released {
		n--
	}
	if n > 0 && r.Held[n-1].Sequence > r.Known.Saw {
		h := &r.Held[n-1]
		return h.Ways[0].Positions, Known{By: StandAhead, Board: h.Sequence}
	}
	if now != nil {
		return now, Known{By: StandMeasured}
	}
	return r.Positions, r.Known
}

// NewSaw puts the positions of another saw in force as of the last message.
func (r *Run) NewSaw() {
	r.Positions, r.Known = nil, Known{By: StandSetUp, Saw: r.Sequence}
	if r.Drift != nil {
		r.Drift.Anew("")
	}
}

// Measure records the positions of fence and blades.
func (r *Run) Measure(at []unit.Length, board int32) {
	r.Positions, r.Known.By, r.Known.Board = at, StandMeasured, board
}

// ahead reports whether a board is still to be cut before h.
func (r *Run) ahead(h *Held) bool {
	return slices.ContainsFunc(r.Held, func(o Held) bool { return o.Sequence < h.Sequence && !o.Released })
}

// left records where a settled board leaves fence and blades; of boards that are settled
// out of order, the last one counts.
func (r *Run) left(h *Held, c *Confirmation, w *Way) {
	if h.Sequence <= r.Known.Saw || h.Sequence < r.Known.Board {
		return
	}
	switch {
	case c.Stands != nil:
		r.Measure(c.Stands, h.Sequence)
	case !c.Outcome.Cut() && r.ahead(h):
		// The board never came to the saw: another is still to be cut before it.
	case c.Outcome == AsPlanned || c.Outcome == AsMeasured:
		r.Positions, r.Known.By, r.Known.Board = h.Ways[0].Positions, StandCut, h.Sequence
	case c.Outcome == RunnerUp:
		r.Positions, r.Known.By, r.Known.Board = w.Positions, StandCut, h.Sequence
	default:
		r.Known.By, r.Known.Board = StandAssumed, h.Sequence
	}
}
