package wire

import (
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
)

func (r *reader) accepts(p *place, m *ripwrightv1.Item, it *order.Item) {
	if !r.entries(p, "accepts", len(m.GetAccepts()), accepted) {
		return
	}
	for i, kind := range m.GetAccepts() {
		q := nth(p, "accepts", i)
		r.text(&q, "", kind, defectKind)
	}
	it.Accepts = m.GetAccepts()
}

func (r *reader) crosscut(p *place, m *ripwrightv1.Crosscut, it *order.Item) {
	if m == nil {
		return
	}
	q := at(p, "crosscut")
	it.CutKerf = r.mm(&q, "kerf_mm", m.GetKerfMm(), kerf)
	it.EndTrim = r.mm(&q, "end_trim_mm", m.GetEndTrimMm(), endTrim)
	if n := len(m.GetLengths()); n == 0 {
		r.faults.Because(fault.Missing, q.path("lengths"), "is empty; give at least one length, or omit crosscut")
	} else if !r.entries(&q, "lengths", n, cuts) {
		return
	}
	for i, l := range m.GetLengths() {
		c := nth(&q, "lengths", i)
		it.Cuts = append(it.Cuts, order.Cut{
			Length:   r.mm(&c, "length_mm", l.GetLengthMm(), cutLength),
			Value:    r.whole(&c, "value", l.GetValue(), millionths, value),
			Limited:  l.Required != nil,
			Required: r.whole(&c, "required", float64(l.GetRequired()), 1, pieces),
			Made:     r.whole(&c, "made", float64(l.GetMade()), 1, pieces),
		})
	}
}

func (j *Job) pieces(it *order.Item, all []rip.Piece) []*ripwrightv1.Piece {
	out := make([]*ripwrightv1.Piece, len(all))
	for i, p := range all {
		out[i] = &ripwrightv1.Piece{LengthIndex: int32(p.Cut), LengthMm: it.Cuts[p.Cut].Length.MM(), FromMm: p.From.MM(), ToMm: p.To.MM()}
	}
	return out
}

// cutBy counts the pieces of each of an item's lengths that a plan cuts.
func cutBy(it *order.Item, item int, p *rip.Plan) []int64 {
	cut := make([]int64, len(it.Cuts))
	for i := range p.Pockets {
		if p.Pockets[i].Item == item {
			for _, c := range p.Pockets[i].Pieces {
				cut[c.Cut]++
			}
		}
	}
	return cut
}

// lengthFills gives the fills of an item's lengths from what is made and reserved.
func lengthFills(it *order.Item, made, reserved func(cut int) int64) []*ripwrightv1.LengthFill {
	if len(it.Cuts) == 0 {
		return nil
	}
	out := make([]*ripwrightv1.LengthFill, len(it.Cuts))
	for i := range it.Cuts {
		out[i] = lengthFill(&it.Cuts[i], made(i), reserved(i))
	}
	return out
}

func lengthFill(c *order.Cut, made, reserved int64) *ripwrightv1.LengthFill {
	after := min(made+reserved, order.MaxPieces)
	f := &ripwrightv1.LengthFill{LengthMm: c.Length.MM(), Made: int32(made), Reserved: int32(min(reserved, order.MaxPieces)), MadeAfter: int32(after)}
	if c.Limited {
		required, open, overrun := int32(c.Required), int32(max(c.Required-after, 0)), int32(max(after-c.Required, 0))
		f.Required, f.Open, f.Overrun = &required, &open, &overrun
	}
	return f
}
