package demand

import (
	"cmp"
	"errors"
	"slices"
	"strings"

	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/turned"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// soonWork is enough for most boards, including the choice among ties.
const soonWork = 5_000

// Solve is rip.Solve for planning, which does not need the first among equally valuable
// ways to rip a board: that can take long to prove, above all if a board gives nothing.
// Once the search takes long, any plan worth as much as its bound is accepted. It is
// searched with ever more work.
//
// If the saw can turn boards, the better of both edges at the fence counts, and the cost
// of the turn does not; which end leads and which face is up make no difference.
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
	r.Proven = r.Proven && a.EndedBy == rip.NoLimit // otherwise nothing was worth more
	r.EndedBy = cmp.Or(r.EndedBy, a.EndedBy)
	r.Work += a.Work
	r.Memory = max(r.Memory, a.Memory)
	return r, nil
}

// Refused reports whether an error of Solve says that the saw does not take the board,
// which then gives nothing: it is outside the saw's limits, or too wide for its step. Any
// other, such as lengths that combine in too many ways, says nothing about what the board
// gives.
func Refused(err error) bool {
	var l fault.List
	return errors.As(err, &l) && !slices.ContainsFunc(l, func(f fault.Fault) bool {
		return !strings.HasPrefix(f.Path, "board.") && f.Path != "saw.step_mm"
	})
}

// aboutTurn is a turn that the saw can make and that brings the board's other edge to the
// fence, if that makes a difference.
func aboutTurn(p *rip.Problem) wood.Turn {
	if p.Board.StraightNear {
		return wood.AsScanned
	}
	for _, way := range p.Saw.Turns {
		if !way.Turn.Edges() {
			continue
		}
		if over := p.Board.Turned(wood.EdgeOverEdge); len(p.Board.Defects) == 0 && slices.Equal(over.Stations, p.Board.Stations) {
			return wood.AsScanned // the same on both sides
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
