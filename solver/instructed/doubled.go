package instructed

import (
	"math"
	"slices"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/unit"
)

// doubled is a problem that has each forced item twice, the copy with the bonus directly
// before it. Of equally good plans the one with the least items comes first; so the first
// strips of a forced item are copies, and plans are in the same order as if both were one
// item.
type doubled struct {
	rip.Problem
	of     *rip.Problem
	item   []int // the order's item that each item stands for
	copies []int // which items are copies
	bonus  unit.Worth
}

// add takes the items of a problem, with copies of those that are forced.
func (c *doubled) add(p *rip.Problem, n *Instructions) {
	c.Problem = *p
	c.Items = make([]order.Item, 0, len(p.Items)+len(n.Forced))
	for i := range p.Items {
		it := p.Items[i]
		for _, f := range n.Forced {
			if f.Item == i {
				twin := it
				twin.Bonus = unit.Worth{Lo: 1} // raised once the amount is known
				twin.ID += "\x00"              // ids must be distinct, and no order has this one
				twin.Measure, twin.Required, twin.Made, twin.PieceLength = order.ByPieces, int64(f.Strips), 0, 0
				c.copies = append(c.copies, len(c.Items))
				c.item, c.Items = append(c.item, i), append(c.Items, twin)
				it = Beyond(&it, int64(f.Strips), int64(p.Board.Length.Floor()))
			}
		}
		c.item, c.Items = append(c.item, i), append(c.Items, it)
	}
}

// Beyond gives an item as it is left for strips beyond the forced ones, on a board of a
// length in micrometres: what is open of it less what the forced strips count if each is
// clear from end to end and as wide as it may be.
func Beyond(it *order.Item, strips, length int64) order.Item {
	left := *it
	open, limited := it.Open()
	if !limited {
		return left
	}
	wide := it.Max
	if !it.Random {
		wide += it.Tolerance
	}
	each := it.Counting().Strip(wide, unit.Run(length))
	if it.Measure == order.ByArea {
		each = (each + 999) / 1000
	}
	if each > 0 && strips > math.MaxInt64/each {
		each, strips = open, 1
	}
	if open -= strips * each; open <= 0 {
		off(&left)
	} else {
		left.Made, left.Required = 0, open
	}
	return left
}

// forced counts the copies in a plan.
func (c *doubled) forced(plan *rip.Plan) (n int) {
	for k := range plan.Pockets {
		if slices.Contains(c.copies, plan.Pockets[k].Item) {
			n++
		}
	}
	return n
}

// undo makes a plan refer to the order's own items, without the bonus.
func (c *doubled) undo(plan *rip.Plan) {
	for k := range plan.Pockets {
		pk := &plan.Pockets[k]
		if pk.Item == rip.None {
			continue
		}
		bonus := c.Items[pk.Item].Bonus
		plan.Worth, pk.Worth = plan.Worth.Sub(bonus), pk.Worth.Sub(bonus)
		pk.Item = c.item[pk.Item]
		pk.Amount = pk.AmountBy(c.of.Items[pk.Item].Counting())
	}
}
