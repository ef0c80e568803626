// Package turned finds the most valuable way to rip a board that may be turned before it
// is fed: the greatest worth less the price of its cycle and its turn.
//
// A turned board is another board, of which package paced finds and proves the best plan.
// The same search solves the board as scanned and then each turn that the saw can make,
// within what the limits leave, and passes over what is worth no more than the known
// plans. No plan of a turn is worth more than the bound of its search. So the greatest of
// these bounds, each less the cost of its turn, bounds all plans, and the best is proven
// if every search is. Turns for which no time is left are bounded by sizes alone.
//
// Plans are ordered by their net worth; among equal ones the board that is turned least
// comes first, then rip's order of plans decides.
package turned

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/paced"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// Solve gives the best valid plan over all turns that the saw can make, and the proof;
// runners-up likewise, each the best of its kind. Bound and the order of plans refer to
// the net worth, after the price of cycle and turn; the plans' own Worth is before both.
// The error is a fault.List.
func Solve(p *rip.Problem, t paced.Terms, o rip.Options) (*rip.Result, error) {
	return solve(p, t, o, nil)
}

// SolveFrom is Solve with a known valid plan, in any turn: a search that a limit ends
// gives no plan that comes after it. It gives no runners-up.
func SolveFrom(p *rip.Problem, t paced.Terms, o rip.Options, known *rip.Plan) (*rip.Result, error) {
	o.RunnersUp = 0
	return solve(p, t, o, known)
}

// Net is the worth of a plan less the price of its cycle and its turn.
func Net(p *rip.Problem, t paced.Terms, plan *rip.Plan) unit.Worth {
	return t.Net(p, plan).Sub(Cost(&p.Saw, plan.Turn))
}

// Cost is the cost of turning a board; zero for a turn that the saw cannot make.
func Cost(s *saw.Saw, t wood.Turn) unit.Worth {
	way, _ := s.Turning(t)
	return unit.WorthOf(way.Cost, 1_000_000, 1_000_000_000) // millionths are 1e-6, worth is 1e-21
}

// At gives the problem with the board turned.
func At(p *rip.Problem, t wood.Turn) *rip.Problem {
	if t == wood.AsScanned {
		return p
	}
	q := *p
	q.Board = p.Board.Turned(t)
	return &q
}

// Check scores a setting that someone else chose, as rip.Check does, on the turned board.
// Broken may name turn among its fields.
func Check(p *rip.Problem, t wood.Turn, skew, fence unit.Length, blades []unit.Length, o rip.Options) (*rip.Checked, error) {
	if int(t) >= wood.Turns {
		return nil, fault.List{{Path: "turn", Says: "is not a turn", Reason: fault.UnknownWord}}
	}
	c, err := rip.Check(At(p, t), skew, fence, blades, o)
	if err != nil {
		return nil, err
	}
	c.Plan.Turn = t
	c.Broken = append(broken(p, t), c.Broken...)
	return c, nil
}

// broken lists the rules that a turn breaks.
func broken(p *rip.Problem, t wood.Turn) (all []rip.Broken) {
	breaks := func(r rip.Rule, says string) {
		all = append(all, rip.Broken{Rule: r, Fault: fault.Fault{Path: "turn", Says: fmt.Sprintf("is %s; %s", t, says)}})
	}
	if _, can := p.Saw.Turning(t); !can {
		breaks(rip.TurnMade, "this saw does not allow that turn")
	}
	if p.Board.StraightNear && t.Edges() {
		breaks(rip.TurnStraightEdge, "a straight near edge stays at the fence")
	}
	return all
}

// turns lists the turns in which the board may come to the saw, as scanned first.
func turns(p *rip.Problem) []wood.Turn {
	all := []wood.Turn{wood.AsScanned}
	for t := wood.AsScanned + 1; int(t) < wood.Turns; t++ {
		if _, can := p.Saw.Turning(t); can && len(broken(p, t)) == 0 {
			all = append(all, t)
		}
	}
	return all
}
