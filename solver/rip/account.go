package rip

import (
	"slices"

	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// account computes where the wood goes.
func (in *instance) account(p *Plan) {
	if in.areas == nil {
		in.areas, in.face = wood.NewAreas(&in.p.Board), in.p.Board.Face()
	}
	b := in.areas
	acc := &p.Account
	acc.Face = in.face
	kerf := unit.Length(in.kerf)

	// Blades of a setting that someone else chose may overlap: wood under two of them is
	// counted once.
	low := slices.Clone(p.Blades)
	slices.Sort(low)
	for i, c := range low {
		hi := c + kerf
		if i+1 < len(low) {
			hi = min(hi, low[i+1])
		}
		acc.Kerf += b.Band(c-p.Fence, hi-p.Fence)
	}
	inWood := func(j int) bool {
		return in.meets(p.Blades[j] - p.Fence)
	}
	for i := range p.Pockets {
		pk := &p.Pockets[i]
		switch {
		case pk.Item != None:
			strip := unit.Area(int64(pk.Width()) * int64(pk.Counted))
			acc.Strip += strip
			if len(in.p.Items[pk.Item].Cuts) > 0 {
				acc.CrosscutLoss += strip - pk.pieceArea()
			}
			acc.EndTrim += max(b.Band(pk.Left, pk.Right)-strip, 0)
		case in.within(int64(pk.Left+p.Fence), int64(pk.Right+p.Fence)):
		case pk.LeftBlade >= 0 && inWood(pk.LeftBlade) && inWood(pk.RightBlade):
			acc.Offcut += b.Band(pk.Left, pk.Right)
			in.again(acc, pk.Left, pk.Right)
		default:
			in.again(acc, pk.Left, pk.Right)
		}
	}
	if !in.straight {
		in.again(acc, -farAway, low[0]-p.Fence)
	}
	in.again(acc, low[len(low)-1]+kerf-p.Fence, farAway)
	acc.Edging = acc.Face - acc.Kerf - acc.Strip - acc.EndTrim - acc.Offcut
	// Each part was rounded separately; if nothing is left for the edging, the few excess
	// units are taken off the largest rounded part.
	if acc.Edging < 0 {
		part := &acc.Kerf
		for _, q := range []*unit.Area{&acc.EndTrim, &acc.Offcut} {
			if *q > *part {
				part = q
			}
		}
		*part, acc.Edging = *part+acc.Edging, 0
	}
}

const farAway = unit.Length(farOut)

// again counts what of a gap is worth feeding again.
func (in *instance) again(acc *Account, lo, hi unit.Length) {
	w := int64(min(hi, unit.Length(in.fullHi)) - max(lo, unit.Length(in.fullLo)))
	if in.reripWidth == 0 || w < in.reripWidth {
		return
	}
	acc.Rerip += unit.Area(w * in.length)
	acc.ReripWorth = acc.ReripWorth.Add(unit.WorthOf(in.reripV, w, in.length))
}

// meets reports whether a blade at a height cuts wood.
func (in *instance) meets(y unit.Length) bool {
	if in.gapless { // then there is wood at every height between the least and the greatest
		return in.kerf > 0 && int64(y)+in.kerf > in.woodLo && int64(y) < in.woodHi
	}
	return in.p.Board.Meets(y, y+unit.Length(in.kerf))
}
