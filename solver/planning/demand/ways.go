package demand

import (
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
)

// CutFaults lists the items whose lengths combine in too many ways on boards up to a
// length, with pieces valued by their length. Planned values come close to that, and
// cutting by area uses exactly that. It takes at most the given steps, and subtracts
// those it takes.
func (o *Order) CutFaults(s *saw.Saw, longest unit.Length, steps *int64) fault.List {
	items := make([]order.Item, len(o.Items))
	for i := range items {
		items[i] = o.bare(i)
	}
	for k := range o.Rows {
		if r := &o.Rows[k]; r.Cut != Whole {
			c := &items[r.Item].Cuts[r.Cut]
			c.Value = int64(c.Length) / int64(unit.Micrometre)
		}
	}
	return rip.CutFaultsUpTo(s, items, longest, steps)
}
