package audit

import (
	"fmt"
	"slices"

	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// farthest is the greatest position from the datum that is checked: sums of positions up
// to here cannot overflow.
const farthest = 2 * saw.MaxPosition

// shaped reports whether a plan has a position for every blade and a pocket between each
// two, with existing items.
func (a *auditor) shaped(p *rip.Plan) bool {
	s := &a.p.Saw
	if p == nil || len(p.Blades) != len(s.Blades) {
		a.differ(Pockets, "the plan does not have the saw's %d blades", len(s.Blades))
		return false
	}
	lo, hi := min(p.Fence, slices.Min(p.Blades)), max(p.Fence, slices.Max(p.Blades))
	if lo < -farthest || hi > farthest {
		a.differ(Setting, "fence and blades lie from %d to %d nm, beyond every travel", lo, hi)
		return false
	}
	if p.Skew < -saw.MaxSkew || p.Skew > saw.MaxSkew {
		a.differ(Setting, "the skew is %d nm/m", p.Skew)
		return false
	}
	if int(p.Turn) >= wood.Turns {
		a.differ(Setting, "the board's turn is unknown")
		return false
	}
	first := 0
	if straight(&a.p.Board, p.Turn) {
		first = rip.FenceSide
	}
	if want := len(s.Blades) - 1 - first; len(p.Pockets) != want {
		a.differ(Pockets, "has %d pockets; the blades leave %d", len(p.Pockets), want)
		return false
	}
	for i := range p.Pockets {
		k := &p.Pockets[i]
		if k.LeftBlade != first+i || k.RightBlade != first+i+1 {
			a.differ(Pockets, "pocket %d lies between blades %d and %d", i, k.LeftBlade, k.RightBlade)
			return false
		}
		if k.Item != rip.None && (k.Item < 0 || k.Item >= len(a.p.Items)) {
			a.differ(Pockets, "pocket %d has item %d of %d", i, k.Item, len(a.p.Items))
			return false
		}
		left, right := a.bounds(p, i)
		if k.Left != left || k.Right != right {
			a.differ(Pockets, "pocket %d is [%d, %d] nm; the blades leave [%d, %d]", i, k.Left, k.Right, left, right)
			return false
		}
	}
	return true
}

// bounds of a pocket on the board: from face to face, and from the straight edge.
func (a *auditor) bounds(p *rip.Plan, pocket int) (left, right unit.Length) {
	beyond := pocket + 1
	if straight(&a.p.Board, p.Turn) {
		beyond--
	}
	right = p.Blades[beyond] - p.Fence
	if beyond > 0 {
		left = p.Blades[beyond-1] + a.p.Saw.Kerf - p.Fence
	}
	if straight(&a.p.Board, p.Turn) && left < 0 {
		left = 0
	}
	return left, right
}

// breaks names a rule of the saw that a setting breaks; empty: it breaks none.
func (a *auditor) breaks(p *rip.Plan) string {
	s := &a.p.Saw
	if says := a.turns(p.Turn); says != "" {
		return says
	}
	stops := func(what string, at, lo, hi unit.Length) string {
		switch {
		case at < lo || at > hi:
			return fmt.Sprintf("%s at %d nm is outside %d to %d", what, at, lo, hi)
		case at/s.Step*s.Step != at:
			return fmt.Sprintf("%s at %d nm is not on a stop of %d", what, at, s.Step)
		}
		return ""
	}
	most := s.Skew
	if straight(&a.p.Board, p.Turn) {
		most = 0
	}
	if says := stops("skew", p.Skew, -most, most); says != "" {
		return says
	}
	if says := stops("fence", p.Fence, s.Fence.Min, s.Fence.Max); says != "" {
		return says
	}
	for i := range s.Blades {
		b, at := &s.Blades[i], p.Blades[i]
		if !b.Moving && at != b.At {
			return fmt.Sprintf("blade %d at %d nm is fixed at %d", i, at, b.At)
		}
		if b.Moving {
			if says := stops("a blade", at, b.Travel.Min, b.Travel.Max); says != "" {
				return says
			}
		}
		if i > 0 && at < p.Blades[i-1]+s.Kerf+s.Gap {
			return fmt.Sprintf("blades %d and %d stand closer than %d nm", i-1, i, s.Gap)
		}
	}
	return ""
}
