package audit

import (
	"slices"

	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/unit"
)

// account checks the account of the wood.
//
// The search rounds an area down between every two stations, twice if an edge crosses a
// bound, and an area here is less than 2 units too small in all. So a band's area may
// differ by 2 units per stretch and 2 more, and a part's by as much for each of its
// bands. Edging is the rest, so it may differ by the sum of these. Exact figures are
// compared exactly: strips, pieces, what is fed again, and that the five parts add up.
func (a *auditor) account(p *rip.Plan) {
	l, acc := &a.lies, &p.Account
	bands := unit.Area(len(p.Blades) + len(p.Pockets) + 1)
	slack := bands * 2 * unit.Area(len(l.at)+1)
	apart := func(what string, got, want unit.Area) {
		if d := got - want; d > slack || d < -slack || got < 0 {
			a.differ(Account, "%s is %d; it works out to %d, give or take %d", what, got, want, slack)
		}
	}
	face := l.underFar.minus(l.underNear).area()
	apart("face", acc.Face, face)
	if acc.Strip+acc.EndTrim+acc.Offcut+acc.Edging+acc.Kerf != acc.Face {
		a.differ(Account, "the parts of %+v do not add up", *acc)
	}
	a.exact(p)
	kerf := a.p.Saw.Kerf
	h := &a.heights
	h.begin()
	for _, at := range p.Blades {
		h.add(at - p.Fence)
		h.add(at + kerf - p.Fence)
	}
	h.add(0)
	h.fill(l)
	under, ends, offcut := a.underBlades(p), wide{}, wide{}
	for i := range p.Pockets {
		k := &p.Pockets[i]
		if k.Right <= k.Left || a.shared(p, k) {
			continue
		}
		between := h.below(k.Right).minus(h.below(k.Left))
		switch {
		case k.Item != rip.None:
			ends = ends.plus(between)
		case k.LeftBlade >= 0 && a.cuts(p, k.LeftBlade) && a.cuts(p, k.RightBlade):
			offcut = offcut.plus(between)
		}
	}
	apart("kerf", acc.Kerf, under.area())
	apart("end trim", acc.EndTrim, ends.area()-acc.Strip)
	apart("offcut", acc.Offcut, offcut.area())
	apart("edging", acc.Edging, face-under.area()-ends.area()-offcut.area())
}

// underBlades is twice the area of the wood under all blades; wood under two of them is
// counted once.
func (a *auditor) underBlades(p *rip.Plan) (under wide) {
	at := p.Blades
	if a.crossed {
		at = slices.Sorted(slices.Values(at))
	}
	for i, from := range at {
		to := from + a.p.Saw.Kerf
		if i+1 < len(at) {
			to = min(to, at[i+1])
		}
		under = under.plus(a.heights.below(to - p.Fence).minus(a.heights.below(from - p.Fence)))
	}
	return under
}

// cuts reports whether a blade cuts wood.
func (a *auditor) cuts(p *rip.Plan, blade int) bool {
	y := p.Blades[blade] - p.Fence
	return a.lies.meets(y, y+a.p.Saw.Kerf)
}

// exact checks the parts of an account that are not rounded.
func (a *auditor) exact(p *rip.Plan) {
	acc := &p.Account
	var strip, loss, rerip unit.Area
	again := func(lo, hi unit.Length) {
		if w := a.lies.band(lo, hi); a.p.Saw.Rerip.Width > 0 && w >= a.p.Saw.Rerip.Width {
			rerip += unit.Area(int64(w) * int64(a.lies.along))
		}
	}
	first, last := p.Blades[0], p.Blades[0]
	for _, at := range p.Blades {
		first, last = min(first, at), max(last, at)
	}
	if !a.lies.straight {
		again(-2*farthest, first-p.Fence)
	}
	again(last+a.p.Saw.Kerf-p.Fence, 2*farthest)
	for i := range p.Pockets {
		k := &p.Pockets[i]
		if k.Item == rip.None {
			if !a.shared(p, k) {
				again(k.Left, k.Right)
			}
			continue
		}
		width := int64(k.Right - k.Left)
		strip += unit.Area(width * int64(k.Counted))
		if len(a.p.Items[k.Item].Cuts) > 0 {
			loss += unit.Area(width * int64(k.Counted))
			for _, c := range k.Pieces {
				loss -= unit.Area(width * int64((c.To-c.From)/1000))
			}
		}
	}
	worth := product(int64(rerip), a.p.Saw.Rerip.Value).worth()
	if acc.Strip != strip || acc.CrosscutLoss != loss || acc.Rerip != rerip || acc.ReripWorth != worth {
		a.differ(Account, "strips %d, crosscut loss %d, fed again %d worth %v; they work out to %d, %d, %d, %v",
			acc.Strip, acc.CrosscutLoss, acc.Rerip, acc.ReripWorth, strip, loss, rerip, worth)
	}
}
