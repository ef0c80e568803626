package audit

import (
	"slices"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/unit"
)

// micro is a millionth of money in units of Worth.
const micro = 1_000_000_000_000_000

// spent is what a plan's strips of one item use up.
type spent struct {
	item       int
	sum, most  int64 // amounts of all strips and of the largest
	open       int64
	unitsOfOne int64   // amounts counted in one unit of open
	strips     []int64 // the amount of each strip; for forced items only
}

// pockets checks every pocket and adds up what they are worth.
func (a *auditor) pockets(p *rip.Plan) {
	var sum wide
	a.spent = a.spent[:0]
	for i := range p.Pockets {
		k := &p.Pockets[i]
		if k.Item == rip.None {
			if len(k.Runs) > 0 || k.Counted != 0 || len(k.Pieces) > 0 || k.Amount != 0 || k.Worth != (unit.Worth{}) {
				a.differ(Pockets, "pocket %d has a strip but no item", i)
			}
			if !a.shared(p, k) {
				sum = sum.plus(a.again(k.Left, k.Right))
			}
			continue
		}
		if a.shared(p, k) {
			a.differ(Fit, "pocket %d has an item, but another blade stands in it", i)
			continue
		}
		sum = sum.plus(a.strip(i, k))
	}
	lo, hi := slices.Min(p.Blades), slices.Max(p.Blades)
	if !a.lies.straight {
		sum = sum.plus(a.again(-2*farthest, lo-p.Fence))
	}
	sum = sum.plus(a.again(hi+a.p.Saw.Kerf-p.Fence, 2*farthest))
	if p.Worth != sum.worth() {
		a.differ(Worth, "the plan's worth is %v; its strips and what is fed again are worth %v", p.Worth, sum.worth())
	}
}

// shared reports whether another blade stands in a pocket: in a setting that
// someone else chose blades may be out of order.
func (a *auditor) shared(p *rip.Plan, k *rip.Pocket) bool {
	if !a.crossed {
		return false
	}
	for _, at := range p.Blades {
		if y := at - p.Fence; y < k.Right && y+a.p.Saw.Kerf > k.Left {
			return true
		}
	}
	return false
}

// strip checks one strip and gives what it is worth.
func (a *auditor) strip(i int, k *rip.Pocket) wide {
	it, width := &a.p.Items[k.Item], k.Right-k.Left
	if says := a.misfit(it, width); says != "" {
		a.differ(Fit, "pocket %d, %d nm wide, has item %d: %s", i, width, k.Item, says)
		return wide{}
	}
	least := it.LeastLength
	if len(it.Cuts) > 0 {
		least = max(least, shortestOpen(it)+2*it.EndTrim)
	}
	var counted, pieces int64
	n := 0
	for _, r := range a.usable(k.Left, k.Right, it.Accepts) {
		long := int64(r.To - r.From)
		if long*1000 < int64(least) {
			continue
		}
		if n < len(k.Runs) && k.Runs[n] != r {
			a.differ(Runs, "run %d of pocket %d is %v um; the wood is clear for %v", n, i, k.Runs[n], r)
		}
		n++
		counted += long
		if it.PieceLength > 0 {
			pieces += long * 1000 / int64(it.PieceLength)
		}
	}
	if it.PieceLength == 0 {
		pieces = 1
	}
	if n != len(k.Runs) || n == 0 || int64(k.Counted) != counted {
		a.differ(Runs, "pocket %d has %d runs, %d um in all; %d runs of %d um count", i, len(k.Runs), k.Counted, n, counted)
		return wide{}
	}
	value := a.pieces(i, k, it)
	a.spend(k, it, counted, pieces)
	worth := a.worth(it, width, counted, value)
	if k.Worth != worth.worth() {
		a.differ(Worth, "pocket %d has a worth of %v; its strip is worth %v", i, k.Worth, worth.worth())
	}
	return worth
}

// misfit says why an item must not be cut to a width on this board; empty: it may.
func (a *auditor) misfit(it *order.Item, width unit.Length) string {
	off := width - it.Min
	off = max(off, -off)
	switch {
	case width < a.p.Saw.LeastStrip || width <= 0:
		return "narrower than the saw's least strip"
	case it.Random && (width < it.Min || width > it.Max):
		return "outside its range"
	case !it.Random && off > it.Tolerance && 2*off > a.p.Saw.Step:
		return "too far from its width"
	case it.Measure != order.Unlimited && it.Made >= it.Required && a.forced(it.ID) == 0:
		return "filled"
	case it.GreatestLength > 0 && it.GreatestLength < a.p.Board.Length:
		return "the board is too long for it"
	case len(it.Cuts) > 0 && shortestOpen(it) == 0:
		return "all its lengths are filled"
	}
	return ""
}

// worth is what a strip is worth, in units of 1e-21.
func (a *auditor) worth(it *order.Item, width unit.Length, counted, value int64) wide {
	if len(it.Cuts) > 0 {
		return product(value, micro)
	}
	switch it.Basis {
	case order.PerPiece:
		return product(it.Value, micro)
	case order.PerLength:
		return product(it.Value, 1_000_000_000).by(counted)
	case order.PerArea:
	}
	if it.Random {
		return product(int64(width), counted).by(it.Value)
	}
	return product(int64(it.Min), counted).by(it.Value)
}

// again is what the gap between two heights is worth if fed again.
func (a *auditor) again(lo, hi unit.Length) wide {
	width := a.lies.band(lo, hi)
	if least := a.p.Saw.Rerip.Width; least == 0 || width < least {
		return wide{}
	}
	return product(int64(width), int64(a.lies.along)).by(a.p.Saw.Rerip.Value)
}

// band is the width of a gap between the trimmed edges over the whole length.
func (l *lying) band(lo, hi unit.Length) unit.Length {
	return min(hi, l.farLow-l.trimFar) - max(lo, l.nearHigh+l.trimNear)
}

// spend counts a strip towards what is open of its item.
func (a *auditor) spend(k *rip.Pocket, it *order.Item, counted, pieces int64) {
	amount, each := counted, int64(1)
	switch {
	case it.Measure == order.ByPieces:
		amount = pieces
	case it.Measure == order.ByArea, it.Measure == order.Unlimited && it.Random:
		amount, each = int64(k.Right-k.Left-it.Joint)*counted, 1000
	}
	if k.Amount != amount {
		a.differ(Amounts, "a strip of item %d counts as %d; it makes %d", k.Item, k.Amount, amount)
	}
	if it.Measure == order.Unlimited {
		return
	}
	for i := range a.spent {
		if s := &a.spent[i]; s.item == k.Item {
			s.sum, s.most = s.sum+amount, max(s.most, amount)
			if s.strips != nil {
				s.strips = append(s.strips, amount)
			}
			return
		}
	}
	s := spent{item: k.Item, sum: amount, most: amount, open: it.Required - it.Made, unitsOfOne: each}
	if a.forced(it.ID) > 0 {
		s.strips = []int64{amount}
	}
	a.spent = append(a.spent, s)
}

// open checks that all strips of an item but the largest total less than what is open.
func (a *auditor) open(*rip.Plan) {
	for i := range a.spent {
		// For whole numbers, x < n open is the same as floor(x/n) < open.
		if s := &a.spent[i]; (s.sum-s.most)/s.unitsOfOne >= s.open && !a.beyond(s) {
			a.differ(Open, "the strips of item %d without the largest make %d; %d is open", s.item, (s.sum-s.most)/s.unitsOfOne, s.open)
		}
	}
}

// measures checks the figures that order plans of equal worth.
func (a *auditor) measures(p *rip.Plan) {
	var off, travel unit.Length
	var area unit.Area
	in := 0
	for i := range p.Pockets {
		k := &p.Pockets[i]
		if k.Item == rip.None {
			continue
		}
		area += unit.Area(int64(k.Right-k.Left) * int64(k.Counted))
		if it := &a.p.Items[k.Item]; !it.Random {
			d := k.Right - k.Left - it.Min
			off += max(d, -d)
		}
	}
	moved := func(d unit.Length) { travel += max(d, -d) }
	moved(p.Fence - a.p.Saw.Fence.Current)
	for i := range a.p.Saw.Blades {
		if b := &a.p.Saw.Blades[i]; b.Moving {
			moved(p.Blades[i] - b.Travel.Current)
		}
		y := p.Blades[i] - p.Fence
		if a.lies.meets(y, y+a.p.Saw.Kerf) {
			in++
		}
	}
	if p.Deviation != off || p.StripArea != area || p.BladesInWood != in || p.Travel != travel {
		a.differ(Measures, "deviation %d, strips %d, blades in wood %d, travel %d; they work out to %d, %d, %d, %d",
			p.Deviation, p.StripArea, p.BladesInWood, p.Travel, off, area, in, travel)
	}
}
