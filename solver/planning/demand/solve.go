package demand

import (
	"cmp"
	"slices"

	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/turned"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// soonWork is how much work most boards take, ties settled.
const soonWork = 5_000

// Solve is rip.Solve for planning, where it does not matter which of the ways to
// rip a board that are worth most is the first among them: that may be long to
// prove, above all where a board gives nothing. Once it takes long, a plan that is
// worth as much as its bound will do. It is looked for with ever more work.
//
// Where the saw can turn boards, the better of both edges at the fence counts, and what
// a turn costs does not: which end leads and which face is up make no difference.
func Solve(p *rip.Problem, o rip.Options) (*rip.Result, error) {
	r, err := solve(p, o)
	turn := aboutTurn(p)
	if err != nil || turn == wood.AsScanned {
		return r, err
	}
	if floor := r.Best.Worth.Add(unit.Worth{Lo: 1}); floor.Cmp(o.Floor) > 0 {
		o.Floor = floor
	}
	a, err := solve(turned.At(p, turn), o)
	if err != nil {
		return nil, err
	}
	if a.Best.Worth.Cmp(r.Best.Worth) > 0 {
		r.Best = a.Best
		r.Best.Turn = turn
	}
	if a.Bound.Cmp(r.Bound) > 0 {
		r.Bound = a.Bound
	}
	r.Proven = r.Proven && a.EndedBy == rip.NoLimit // else nothing was worth more
	r.EndedBy = cmp.Or(r.EndedBy, a.EndedBy)
	r.Work += a.Work
	r.Memory = max(r.Memory, a.Memory)
	return r, nil
}

// aboutTurn is a turn that the saw can make which brings the board's other edge to the
// fence, and where that makes a difference.
func aboutTurn(p *rip.Problem) wood.Turn {
	if p.Board.StraightNear {
		return wood.AsScanned
	}
	for _, way := range p.Saw.Turns {
		if !way.Turn.Edges() {
			continue
		}
		if over := p.Board.Turned(wood.EdgeOverEdge); len(p.Board.Defects) == 0 && slices.Equal(over.Stations, p.Board.Stations) {
			return wood.AsScanned // the same from both sides
		}
		return way.Turn
	}
	return wood.AsScanned
}

func solve(p *rip.Problem, o rip.Options) (*rip.Result, error) {
	if r, ok := even(p, o); ok {
		return r, nil
	}
	before := int64(0)
	for work := int64(soonWork); ; work *= 4 {
		part := o
		if o.Work == 0 || o.Work > work {
			part.Work = work
		}
		r, err := rip.Solve(p, part)
		if err != nil {
			return nil, err
		}
		r.Work += before
		if r.EndedBy != rip.WorkLimit || r.Bound == r.Best.Worth || part.Work == o.Work {
			return r, nil
		}
		before = r.Work
	}
}
