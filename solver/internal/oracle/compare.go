package oracle

import (
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/unit"
)

// Written gives a plan of the search as String gives one of the oracle.
func Written(p *rip.Plan) string {
	o := Plan{Worth: p.Worth.Big(), Dev: int64(p.Deviation), Area: int64(p.StripArea),
		Blades: int64(p.BladesInWood), Travel: int64(p.Travel), Skew: int64(p.Skew), Fence: int64(p.Fence)}
	for _, a := range p.Blades {
		o.Pos = append(o.Pos, int64(a))
	}
	for _, k := range p.Pockets {
		o.Items = append(o.Items, k.Item)
	}
	return o.String()
}

// Small reports whether a problem has few enough settings to try them all.
func Small(p *rip.Problem) bool {
	settings := unit.Length(1)
	for _, b := range p.Saw.Blades {
		if b.Moving {
			settings *= (b.Travel.Max-b.Travel.Min)/p.Saw.Step + 1
		}
	}
	return settings*(2*(p.Saw.Skew/p.Saw.Step)+1) <= 500
}
