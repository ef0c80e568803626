package wire

import (
	"slices"

	"github.com/ripwright/ripwright/solver/drift"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/run"
	"github.com/ripwright/ripwright/solver/unit"
)

// Held is what a run keeps of a planned board until it is confirmed.
func (j *Job) Held(r *rip.Result) run.Held {
	h := run.Held{Board: j.BoardID, Order: j.OrderID, Pack: j.PackID, Saw: j.Mark.Saw, BladesChanged: j.Mark.Changed,
		Thickness: j.Problem.Board.Thickness, Face: r.Best.Account.Face, Size: j.Size()}
	h.Free = j.FreePlan(r)
	for _, p := range append([]*rip.Plan{r.Best}, r.RunnersUp...) {
		h.Ways = append(h.Ways, j.way(p))
	}
	return h
}

// Size is the part of the board that bounds the strips that can come out of it.
func (j *Job) Size() run.Size {
	b, s := &j.Problem.Board, &j.Problem.Saw
	near, _, _, far := b.Span()
	leans := unit.Length(unit.MulDivCeil(int64(s.Skew), int64(b.Length), int64(1000*unit.Millimetre)))
	return run.Size{Length: b.Length, Wide: far - near + leans, Kerf: s.Kerf, Edge: b.StraightNear}
}

func (j *Job) way(p *rip.Plan) run.Way {
	w := run.Way{Positions: going(p), Parts: run.Parts{Strip: p.Account.Strip, EndTrim: p.Account.EndTrim,
		Offcut: p.Account.Offcut, Edging: p.Account.Edging, Kerf: p.Account.Kerf}}
	if c, ok := j.cycleOf(p); ok {
		w.Cycle = c.Total
	}
	board := j.lying(p)
	for i := range p.Pockets {
		if pk := &p.Pockets[i]; pk.Item != rip.None {
			s := j.strip(pk)
			s.From = run.From{Pocket: i + 1, Near: pk.LeftBlade, Far: pk.RightBlade}
			if board.StraightNear && pk.Left <= 0 { // the part beyond the fence bounds nothing
				s.From.Near = drift.Edge
			}
			w.Strips = append(w.Strips, s)
		}
	}
	from := standing(&j.Problem.Saw)
	for i, at := range p.Blades {
		y, kerf := at-p.Fence, j.Problem.Saw.Kerf
		use := run.BladeUse{Travel: max(at-from[i+1], from[i+1]-at)}
		if kerf > 0 { // a band's area over its width is the length of wood in it
			use.Cut = unit.Run(int64(board.Band(y, y+kerf)) / int64(kerf))
		}
		w.Blades = append(w.Blades, use)
	}
	return w
}

func (j *Job) strip(pk *rip.Pocket) run.Strip {
	it := &j.Problem.Items[pk.Item]
	order, id := j.Named(pk.Item)
	s := run.Strip{Order: order, Item: id, Stack: j.Items[pk.Item].Stack, Width: pk.Width(), Length: pk.Counted, Amount: j.Amount(pk)}
	for _, c := range pk.Pieces {
		length := it.Cuts[c.Cut].Length
		i := slices.IndexFunc(s.Cuts, func(m run.CutMade) bool { return m.Length == length })
		if i < 0 {
			i, s.Cuts = len(s.Cuts), append(s.Cuts, run.CutMade{Length: length})
		}
		s.Cuts[i].Made++
	}
	return s
}
