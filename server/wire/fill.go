package wire

import (
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/unit"
)

// fills gives each item's fill including the plan.
//
// The sums are exact and rounded down once to the unit of made, so that rounding never
// completes an item.
func (j *Job) fills(p *rip.Plan) []*ripwrightv1.Fill {
	if j.Detail.GetFills() == ripwrightv1.ItemDetail_ITEM_DETAIL_NONE {
		return nil
	}
	sums, made := make([]int64, len(j.Items)), make([]bool, len(j.Items))
	for i := range p.Pockets {
		if pk := &p.Pockets[i]; pk.Item != rip.None {
			sums[pk.Item] += j.Amount(pk)
			made[pk.Item] = true
		}
	}
	out, block := make([]*ripwrightv1.Fill, 0, len(j.Items)), make([]ripwrightv1.Fill, len(j.Items))
	for i := range j.Items {
		if !made[i] && j.Detail.GetFills() == ripwrightv1.ItemDetail_ITEM_DETAIL_CHANGED {
			continue
		}
		it := &j.Problem.Items[i]
		sum := sums[i]
		if j.Items[i].Count == order.ByArea {
			sum /= int64(unit.Micrometre)
		}
		cut := cutBy(it, i, p)
		f := &block[i]
		fillOf(f, it, j.Items[i].Count, it.Made, sum)
		f.Lengths = lengthFills(it, func(c int) int64 { return it.Cuts[c].Made }, func(c int) int64 { return cut[c] })
		out = append(out, f)
	}
	return out
}

// fillOf writes an item's fill to f from what is made and reserved.
func fillOf(f *ripwrightv1.Fill, it *order.Item, count order.Measure, made, reserved int64) {
	after := made + reserved
	f.ItemId = it.ID
	f.Made, f.Reserved, f.MadeAfter = amount(count, made), amount(count, reserved), amount(count, after)
	if it.Measure != order.Unlimited {
		f.Required = amount(count, it.Required)
		f.Open = amount(count, max(it.Required-after, 0))
	}
	if it.Panel > 0 && count == order.ByArea {
		m := float64(after) / micrometres / (it.Panel.MM() * 1e3)
		f.PanelM = &m
	}
}

// Amount is what a pocket's strip adds to its item, in the item's unit: micrometres,
// unit.Area or pieces. The solver gives it only if there is a limit.
func (j *Job) Amount(pk *rip.Pocket) int64 {
	c := j.Problem.Items[pk.Item].Counting()
	c.Measure = j.Items[pk.Item].Count
	return pk.AmountBy(c)
}

func amount(count order.Measure, v int64) *ripwrightv1.Amount {
	// A message and what it holds, in one piece of memory.
	switch count {
	case order.ByLength:
		var m struct {
			ripwrightv1.Amount
			of ripwrightv1.Amount_LengthM
		}
		m.of.LengthM = float64(v) / micrometres
		m.Amount.Amount = &m.of
		return &m.Amount
	case order.ByArea:
		var m struct {
			ripwrightv1.Amount
			of ripwrightv1.Amount_AreaM2
		}
		m.of.AreaM2 = float64(v) / squareMicrometres
		m.Amount.Amount = &m.of
		return &m.Amount
	case order.ByPieces, order.Unlimited:
	}
	// Made arrives as an int32 and a board adds few; only a count at the very top of the
	// range could exceed it.
	return &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_Pieces{Pieces: int32(min(v, 1<<31-1))}}
}
