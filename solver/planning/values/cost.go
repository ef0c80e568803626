package values

import (
	"math"

	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/wood"
)

// again reports whether a lot has the same boards as the one before, at the same price.
func (p *Problem) again(g int) bool {
	if g == 0 || len(p.Lots[g].Kinds) == 0 || len(p.Lots[g].Kinds) != len(p.Lots[g-1].Kinds) {
		return false
	}
	return &p.Lots[g].Kinds[0] == &p.Lots[g-1].Kinds[0] && p.Lots[g].Price == p.Lots[g-1].Price
}

// costs of a lot's kinds: millionths of a board, of a square metre or of money.
func costs(p *Problem, g int) []int64 {
	lot := &p.Lots[g]
	out := make([]int64, len(lot.Kinds))
	for t := range out {
		out[t] = max(int64(math.Round(p.BoardCost(g, &lot.Kinds[t].Board)*1e6)), 1)
	}
	return out
}

// BoardCost is what a board of a lot costs, in units of the objective.
func (p *Problem) BoardCost(lot int, b *wood.Board) float64 {
	switch p.Objective {
	case Face:
		return b.Face().SquareMetres()
	case Cost:
		return lumber.BoardFeet(b) * float64(p.Lots[lot].Price) / 1e6
	case Boards:
	}
	return 1
}
