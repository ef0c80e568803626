package audit

import (
	"slices"

	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/unit"
)

// below is twice the area of the wood under a height, in nm2: what lies between
// the near edge and the height, less what lies between the far edge and it. Where
// an edge crosses the height between two stations half a square nanometre is lost
// at most.
func (l *lying) below(y unit.Length) wide {
	return l.over(y, l.nearLow, l.nearHigh, l.underNear, false).minus(l.over(y, l.farLow, l.farHigh, l.underFar, true))
}

// over is twice the area between an edge and a height above it.
func (l *lying) over(y, low, high unit.Length, under wide, far bool) (sum wide) {
	switch {
	case y <= low:
		return wide{}
	case y >= high: // the whole edge lies below the height
		return product(2*int64(l.length), int64(y)).minus(under)
	}
	for i := 1; i < len(l.at); i++ {
		s, t := &l.at[i-1], &l.at[i]
		g, h := int64(y-s.Near), int64(y-t.Near)
		if far {
			g, h = int64(y-s.Far), int64(y-t.Far)
		}
		long := int64(t.X - s.X)
		switch {
		case g <= 0 && h <= 0:
		case g >= 0 && h >= 0:
			sum = sum.plus(product(long, g+h))
		default: // a triangle: as high as the one end, as long as its share
			high := max(g, h)
			sum = sum.plus(product(long, high).by(high).over(uint64(max(g-h, h-g))))
		}
	}
	return sum
}

// edges are the areas under the two faces of a blade.
type edges struct{ near, far wide }

// account goes through where the wood goes.
//
// The search rounds an area down between every two stations, twice where an edge
// crosses a bound, and an area here is less than 2 units short in all; so a band's
// area may be 2 units per stretch apart and 2 more, and a part's as much for every
// band there is. Edging is the rest, so it may be apart by all of them. What is
// said exactly is compared exactly: strips, pieces, what is fed again, and that the
// five parts add up.
func (a *auditor) account(p *rip.Plan) {
	l, acc := &a.lies, &p.Account
	bands := unit.Area(len(p.Blades) + len(p.Pockets) + 1)
	slack := bands * 2 * unit.Area(len(l.at)+1)
	apart := func(what string, got, want unit.Area) {
		if d := got - want; d > slack || d < -slack || got < 0 {
			a.differ(Account, "%s is %d; it comes to %d, give or take %d", what, got, want, slack)
		}
	}
	face := l.underFar.minus(l.underNear).area()
	apart("face", acc.Face, face)
	if acc.Strip+acc.EndTrim+acc.Offcut+acc.Edging+acc.Kerf != acc.Face {
		a.differ(Account, "the parts of %+v do not add up", *acc)
	}
	a.exact(p)
	kerf := a.p.Saw.Kerf
	a.edges = a.edges[:0]
	for _, at := range p.Blades {
		a.edges = append(a.edges, edges{l.below(at - p.Fence), l.below(at + kerf - p.Fence)})
	}
	under, ends, offcut := a.underBlades(p), wide{}, wide{}
	for i := range p.Pockets {
		k := &p.Pockets[i]
		if k.Right <= k.Left || a.shared(p, k) {
			continue
		}
		from := l.below(k.Left)
		if k.LeftBlade >= 0 && k.Left == p.Blades[k.LeftBlade]+kerf-p.Fence {
			from = a.edges[k.LeftBlade].far
		}
		between := a.edges[k.RightBlade].near.minus(from)
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

// underBlades is twice the area of the wood under all blades, that under two of them
// counted once.
func (a *auditor) underBlades(p *rip.Plan) (under wide) {
	if !a.crossed {
		for i := range a.edges {
			under = under.plus(a.edges[i].far.minus(a.edges[i].near))
		}
		return under
	}
	at := slices.Sorted(slices.Values(p.Blades))
	for i, from := range at {
		to := from + a.p.Saw.Kerf
		if i+1 < len(at) {
			to = min(to, at[i+1])
		}
		under = under.plus(a.lies.below(to - p.Fence).minus(a.lies.below(from - p.Fence)))
	}
	return under
}

// cuts reports whether a blade cuts wood.
func (a *auditor) cuts(p *rip.Plan, blade int) bool {
	y := p.Blades[blade] - p.Fence
	return a.lies.meets(y, y+a.p.Saw.Kerf)
}

// exact goes through the parts of an account that are not rounded.
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
	if !a.p.Board.StraightNear {
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
		a.differ(Account, "strips %d, crosscut loss %d, fed again %d worth %v; they are %d, %d, %d, %v",
			acc.Strip, acc.CrosscutLoss, acc.Rerip, acc.ReripWorth, strip, loss, rerip, worth)
	}
}
