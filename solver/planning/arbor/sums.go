package arbor

import (
	"math"
	"math/big"

	"gonum.org/v1/gonum/stat/distuv"

	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/unit"
)

// sums adds up the plans of boards, order by order.
type sums struct {
	c      *scorer
	scored *Scored
	before *rip.Plan // of the order's previous board
	cycle  float64   // s, weighted
	cycles float64   // total weight
}

// add counts a board's plan for an order; nil: the saw does not take the board.
func (s *sums) add(order, board int, plan *rip.Plan) {
	c, b := s.c, &s.c.p.Boards[board]
	if board == 0 {
		s.before = nil
	}
	weight := c.p.Orders[order].Weight
	part := float64(weight) * float64(b.Count)
	s.scored.Face += part * b.Board.Face().SquareMetres()
	if plan == nil {
		return
	}
	w := plan.Worth.Big()
	s.scored.exact.Add(s.scored.exact, w.Mul(w, big.NewInt(weight*b.Count)))
	s.scored.each[board] += float64(weight) * plan.Worth.Money()
	s.scored.Strip += part * plan.Account.Strip.SquareMetres()
	if s.before != nil || len(c.p.Boards) == 1 {
		t := c.p.Pace.Parts(b.Board.Length, move(s.before, plan))
		s.cycle += part * t.Total.Seconds()
		s.cycles += part
	}
	s.before = plan
}

// mean gives the score per board.
func (s *sums) mean() *Scored {
	weights, boards := int64(0), int64(0)
	for i := range s.c.p.Boards {
		boards += s.c.p.Boards[i].Count
	}
	for k := range s.c.p.Orders {
		weights += s.c.p.Orders[k].Weight
	}
	out := s.scored
	for i := range out.each {
		out.each[i] /= float64(weights)
	}
	all := float64(weights) * float64(boards)
	worth, _ := new(big.Rat).SetFrac(out.exact, big.NewInt(weights*boards)).Float64()
	out.Worth = worth / 1e21
	out.Strip, out.Face = out.Strip/all, out.Face/all
	if s.cycles > 0 {
		out.Cycle = s.cycle / s.cycles
	}
	return out
}

// move is the longest distance that the fence or a blade moves from one plan to the next.
func move(from, to *rip.Plan) unit.Length {
	if from == nil {
		return 0
	}
	d := to.Fence - from.Fence
	longest := max(d, -d)
	for j := range to.Blades { // fixed ones do not move
		d := to.Blades[j] - from.Blades[j]
		longest = max(longest, d, -d)
	}
	return longest
}

// against sets the gain over today's setting: the mean of the boards' differences, with
// its error from their spread.
func (s *Scored) against(today *Scored, p *Problem, level float64) {
	s.Boards = len(p.Boards)
	s.Gain = s.Worth - today.Worth
	boards, spread := 0.0, 0.0
	for i := range p.Boards {
		boards += float64(p.Boards[i].Count)
	}
	for i := range p.Boards {
		d := s.each[i] - today.each[i] - s.Gain
		spread += d * d * float64(p.Boards[i].Count) / boards
	}
	n := float64(len(p.Boards))
	if n < 2 {
		s.GainLow, s.GainHigh = s.Gain, s.Gain
		return
	}
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: n - 1}.Quantile((1 + level) / 2)
	e := t * math.Sqrt(spread/(n-1))
	s.GainLow, s.GainHigh = s.Gain-e, s.Gain+e
}
