package run

import "slices"

// Limits of the doubts that a run remembers; their text takes most of the memory.
const (
	mostDoubts  = 48 // of all boards
	mostOfBoard = 24 // of one
)

// Doubted is a board and the doubts about its strips.
type Doubted struct {
	Sequence int32
	Doubts   []Doubt
}

// doubted remembers the doubts about a board, and drops those of the oldest boards if
// there are too many.
func (r *Run) doubted(sequence int32, doubts []Doubt) {
	if len(doubts) == 0 {
		return
	}
	r.Doubted = append(r.Doubted, Doubted{sequence, doubts[:min(len(doubts), mostOfBoard)]})
	n := 0
	for i := len(r.Doubted) - 1; i >= 0; i-- {
		if n += len(r.Doubted[i].Doubts); n > mostDoubts {
			r.Doubted = slices.Delete(r.Doubted, 0, i+1)
			return
		}
	}
}

// Doubts gives the doubts about the counted strips of a board, if it is among the last
// boards with any.
func (r *Run) Doubts(sequence int32) []Doubt {
	for i := range r.Doubted {
		if r.Doubted[i].Sequence == sequence {
			return r.Doubted[i].Doubts
		}
	}
	return nil
}

func (r *Run) doubtsBounded() bool {
	n := 0
	for i := range r.Doubted {
		d := &r.Doubted[i]
		n += len(d.Doubts)
		if d.Sequence < 1 || d.Sequence > r.Sequence ||
			slices.ContainsFunc(d.Doubts, func(d Doubt) bool { return d.Kind < 0 || int(d.Kind) >= DoubtKinds }) {
			return false
		}
	}
	return n <= mostDoubts
}
