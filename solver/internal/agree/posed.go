package agree

import (
	"slices"

	"github.com/ripwright/ripwright/solver/internal/oracle"
	"github.com/ripwright/ripwright/solver/rip"
)

// Problem converts a problem of the oracle to one of the search.
func Problem(p *oracle.Problem) *rip.Problem {
	return &rip.Problem{Board: p.Board, Saw: p.Saw, Items: p.Items}
}

// Posed converts a problem of the search to one of the oracle.
func Posed(p *rip.Problem) *oracle.Problem {
	return &oracle.Problem{Board: p.Board, Saw: p.Saw, Items: p.Items}
}

// Written writes a plan of the search as the oracle writes its own.
func Written(p *rip.Plan) string {
	var pos []int64
	for _, a := range p.Blades {
		pos = append(pos, int64(a))
	}
	return oracle.InTurn(p.Turn, oracle.Written(p.Worth.Big(), int64(p.Deviation), int64(p.StripArea), int64(p.BladesInWood), int64(p.Travel),
		int64(p.Skew), int64(p.Fence), pos, Items(p)))
}

// Items gives the items of a plan's pockets.
func Items(p *rip.Plan) (items []int) {
	for _, k := range p.Pockets {
		items = append(items, k.Item)
	}
	return items
}

func sorted(items []int) []int {
	items = slices.DeleteFunc(slices.Clone(items), func(k int) bool { return k < 0 })
	slices.Sort(items)
	return items
}
