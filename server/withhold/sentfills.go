package withhold

import (
	"math"
	"slices"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/wood"
)

// fills compares what is made: what was, plus the strips of the plan, rounded down once
// to the unit.
func (c *comparer) fills(p *rip.Plan, all []*ripwrightv1.Fill) {
	var told []int // items, in their order
	for i := range c.j.Problem.Items {
		switch makes := slices.ContainsFunc(p.Pockets, func(k rip.Pocket) bool { return k.Item == i }); c.j.Detail.GetFills() {
		case ripwrightv1.ItemDetail_ITEM_DETAIL_NONE:
		case ripwrightv1.ItemDetail_ITEM_DETAIL_CHANGED:
			if makes {
				told = append(told, i)
			}
		default:
			told = append(told, i)
		}
	}
	if len(all) != len(told) {
		c.differ("has %d fills of %d items", len(all), len(told))
		return
	}
	for n, f := range all {
		i := told[n]
		it := &c.j.Problem.Items[i]
		var length, pieces, area int64
		for n := range p.Pockets {
			k := &p.Pockets[n]
			if k.Item != i {
				continue
			}
			length += int64(k.Counted)
			area += int64(k.Right-k.Left-it.Joint) * int64(k.Counted)
			pieces += made(it, k.Runs)
		}
		var after, want float64
		switch a := f.GetMadeAfter().GetAmount().(type) {
		case *ripwrightv1.Amount_LengthM:
			after, want = math.Round(a.LengthM*1e6), float64(it.Made+length)
		case *ripwrightv1.Amount_AreaM2:
			after, want = math.Round(a.AreaM2*1e12), float64(it.Made+area/1000)
		case *ripwrightv1.Amount_Pieces:
			after, want = float64(a.Pieces), float64(min(it.Made+pieces, math.MaxInt32))
		}
		if f.GetItemId() != it.ID || !near(after, want) {
			c.differ("fill %d says that %g is made; it is %g", i, after, want)
		}
		c.lengths(p, i, f.GetLengths())
	}
}

// made is how many pieces the counted runs of a strip are.
func made(it *order.Item, runs []wood.Stretch) (n int64) {
	if it.PieceLength == 0 {
		return 1
	}
	for _, r := range runs {
		n += int64(r.To-r.From) * 1000 / int64(it.PieceLength)
	}
	return n
}

// lengths compares what is made of an item's crosscut lengths.
func (c *comparer) lengths(p *rip.Plan, item int, all []*ripwrightv1.LengthFill) {
	it := &c.j.Problem.Items[item]
	if len(all) != len(it.Cuts) {
		c.differ("fill %d has %d lengths of %d", item, len(all), len(it.Cuts))
		return
	}
	for i, f := range all {
		n := it.Cuts[i].Made
		for k := range p.Pockets {
			if p.Pockets[k].Item != item {
				continue
			}
			for _, v := range p.Pockets[k].Pieces {
				if v.Cut == i {
					n++
				}
			}
		}
		if int64(f.GetMadeAfter()) != min(n, math.MaxInt32) {
			c.differ("fill %d says that %d pieces of length %d are made; they are %d", item, f.GetMadeAfter(), i, n)
		}
	}
}
