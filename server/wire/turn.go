package wire

import (
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/turned"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// turns are the schema's words for how a board is turned, by wood.Turn.
var turns = [wood.Turns]ripwrightv1.BoardTurn{
	wood.AsScanned:    ripwrightv1.BoardTurn_BOARD_TURN_AS_SCANNED,
	wood.EndForEnd:    ripwrightv1.BoardTurn_BOARD_TURN_END_FOR_END,
	wood.EdgeOverEdge: ripwrightv1.BoardTurn_BOARD_TURN_EDGE_OVER_EDGE,
	wood.EndOverEnd:   ripwrightv1.BoardTurn_BOARD_TURN_END_OVER_END,
}

// someTurns are the words for the turns, without that of a board as scanned.
const someTurns = "BOARD_TURN_END_FOR_END, BOARD_TURN_EDGE_OVER_EDGE or BOARD_TURN_END_OVER_END"

func turnOf(m ripwrightv1.BoardTurn) (wood.Turn, bool) {
	for t, is := range turns {
		if is == m {
			return wood.Turn(t), true
		}
	}
	return wood.AsScanned, false
}

// turn reads how a setting turns the board; by default it does not.
func (r *reader) turn(p *place, m *ripwrightv1.BoardTurn) wood.Turn {
	if m == nil || *m == ripwrightv1.BoardTurn_BOARD_TURN_UNSPECIFIED {
		return wood.AsScanned
	}
	t, known := turnOf(*m)
	if !known {
		r.faults.Because(fault.UnknownWord, p.path("turn"), "is %d; must be BOARD_TURN_AS_SCANNED, %s", *m, someTurns)
	}
	return t
}

// turnings reads how boards can be turned before a saw.
func (r *reader) turnings(p *place, all []*ripwrightv1.SawTurn) (out []saw.Turning) {
	if !r.entries(p, "turns", len(all), sawTurns) {
		return nil
	}
	for i, m := range all {
		q := nth(p, "turns", i)
		t, known := turnOf(m.GetTurn())
		switch {
		case m.GetTurn() == ripwrightv1.BoardTurn_BOARD_TURN_UNSPECIFIED:
			r.faults.Because(fault.Missing, q.path("turn"), "is missing; must be %s", someTurns)
		case !known || t == wood.AsScanned:
			r.faults.Because(fault.UnknownWord, q.path("turn"), "is %v; must be %s", m.GetTurn(), someTurns)
		}
		out = append(out, saw.Turning{Turn: t, Cost: r.whole(&q, "cost", m.GetCost(), millionths, turnCost)})
	}
	return out
}

// turned reports how a plan turns the board and what that costs, if turns were asked for.
func (j *Job) turned(out *ripwrightv1.Plan, p *rip.Plan) {
	if !j.Turns && p.Turn == wood.AsScanned {
		return
	}
	turn, cost := turns[p.Turn], turned.Cost(&j.Problem.Saw, p.Turn).Money()
	out.Setting.Turn, out.TurnCost = &turn, &cost
}

// lying gives the board as it lies on the saw in a plan.
func (j *Job) lying(p *rip.Plan) wood.Board {
	b := j.Problem.Board.Turned(p.Turn)
	if p.Skew != 0 {
		return b.Skewed(p.Skew)
	}
	return b
}

// cutLine gives the place of the kerf at y on the saw, on the board as it was scanned:
// its lower y at the end that then led, and at the other. What is level on the saw slopes
// on a board that was set askew, and a board that was turned is turned back.
func (j *Job) cutLine(p *rip.Plan, lies *wood.Board, y unit.Length) (start, end unit.Length) {
	start, end = y, y
	flat := j.Problem.Board.Turned(p.Turn)
	if p.Skew != 0 {
		first, last := flat.Stations[0], flat.Stations[len(flat.Stations)-1]
		start -= lies.Stations[0].Near - first.Near
		end -= lies.Stations[len(lies.Stations)-1].Near - last.Near
	}
	if p.Turn.Edges() {
		near, _, _, far := flat.Span()
		kerf := j.Problem.Saw.Kerf
		start, end = near+far-start-kerf, near+far-end-kerf
	}
	if p.Turn.Ends() {
		start, end = end, start
	}
	return start, end
}
