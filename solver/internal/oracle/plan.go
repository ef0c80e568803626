package oracle

import (
	"fmt"
	"math/big"
	"slices"

	"github.com/ripwright/ripwright/solver/wood"
)

// Setting is where fence and blades stand, and how the board lies.
type Setting struct {
	Turn        wood.Turn
	Skew, Fence int64
	Pos         []int64 // blades
}

// Plan is a plan and the figures by which plans are compared.
type Plan struct {
	net, worth                money
	Dev, Area, Blades, Travel int64
	Setting
	Items []int // by pocket, -1 none
}

// Worth in units of 1e-21.
func (a *Plan) Worth() *big.Int { return a.worth.big() }

// Net is the worth less the price of the cycle.
func (a *Plan) Net() *big.Int { return a.net.big() }

// String gives everything that two equal plans have in common.
func (a *Plan) String() string {
	return InTurn(a.Turn, Written(a.Worth(), a.Dev, a.Area, a.Blades, a.Travel, a.Skew, a.Fence, a.Pos, a.Items))
}

// InTurn adds the turn of the board to a written plan.
func InTurn(t wood.Turn, plan string) string {
	if t == wood.AsScanned {
		return plan
	}
	return fmt.Sprint("turn ", uint8(t), ", ", plan)
}

// Written writes a plan for comparison.
func Written(worth *big.Int, dev, area, blades, travel, skew, fence int64, pos []int64, items []int) string {
	return fmt.Sprint("worth ", worth, ", deviation ", dev, ", area ", area, ", ", blades, " blades, travel ", travel,
		", skew ", skew, ", fence ", fence, ", ", pos, ", items ", items)
}

// less reports whether a is the better plan, or equally good and first.
func (a *Plan) less(b *Plan) bool {
	if c := a.net.more(b.net); c != 0 {
		return c > 0
	}
	if a.Turn != b.Turn {
		return a.Turn < b.Turn
	}
	if c := a.worth.more(b.worth); c != 0 {
		return c > 0
	}
	if a.Dev != b.Dev {
		return a.Dev < b.Dev
	}
	if a.Area != b.Area {
		return a.Area > b.Area
	}
	if a.Blades != b.Blades {
		return a.Blades < b.Blades
	}
	if a.Travel != b.Travel {
		return a.Travel < b.Travel
	}
	if a.Skew != b.Skew {
		return a.Skew < b.Skew
	}
	if a.Fence != b.Fence {
		return a.Fence < b.Fence
	}
	for i := range a.Pos {
		if a.Pos[i] != b.Pos[i] {
			return a.Pos[i] < b.Pos[i]
		}
	}
	for i := range a.Items {
		if a.Items[i] != b.Items[i] {
			return uint(a.Items[i]) < uint(b.Items[i]) // none comes last
		}
	}
	return false
}

// Before reports whether a comes before b.
func (a *Plan) Before(b *Plan) bool { return a.less(b) }

// Kind gives the items in rising order, which are the same for plans of one kind.
func (a *Plan) Kind() []int {
	var k []int
	for _, item := range a.Items {
		if item >= 0 {
			k = append(k, item)
		}
	}
	slices.Sort(k)
	return k
}
