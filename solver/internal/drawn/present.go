package drawn

import (
	"github.com/ripwright/ripwright/solver/internal/oracle"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
)

// Present gives the features of a problem for which everything was tried.
func Present(p *oracle.Problem, seen *oracle.Seen) (s Set) {
	has := func(f Feature, is bool) {
		if is {
			s |= 1 << f
		}
	}
	board(p, has)
	arbor(p, has)
	items(p, seen, has)
	has(Beside, seen.Beside)
	has(OffWood, seen.Off)
	has(Rerip, seen.Again && p.Saw.Rerip.Value > 0)
	has(Priced, seen.Costs)
	has(Overlaps, seen.Costs && p.Pace.Overlaps)
	return s
}

func board(p *oracle.Problem, has func(Feature, bool)) {
	b := &p.Board
	first := b.Stations[0]
	nearLo, nearHi, far, odd := first.Near, first.Near, false, b.Length%unit.Micrometre != 0
	for _, s := range b.Stations {
		nearLo, nearHi, far = min(nearLo, s.Near), max(nearHi, s.Near), far || s.Far != first.Far
		odd = odd || (s.Near%unit.Micrometre|s.Far%unit.Micrometre) != 0
		has(NoWidth, s.Near == s.Far)
	}
	has(Straight, b.StraightNear)
	has(NearUneven, nearLo < nearHi)
	has(FarUneven, far)
	has(Clean, nearLo == nearHi && !far)
	has(WidthOnly, !b.StraightNear && nearLo == 0 && nearHi == 0 && far)
	has(BelowFence, nearLo < 0)
	has(Raised, nearLo > 0)
	has(Held, (nearLo < nearHi || far || p.Saw.Skew > 0) && (first.X > 0 || b.Stations[len(b.Stations)-1].X < b.Length))
	has(Odd, odd)
	m := &p.Saw.Limits
	has(Limits, m.MinLength == b.Length || m.MaxLength == b.Length)
}

func arbor(p *oracle.Problem, has func(Feature, bool)) {
	s := &p.Saw
	stops := func(t saw.Travel) (n int) {
		for x := t.Min/s.Step*s.Step - s.Step; x <= t.Max; x += s.Step {
			if x >= t.Min {
				n++
			}
		}
		return n
	}
	n := stops(s.Fence)
	has(FenceOne, n == 1)
	has(FenceTwo, n == 2)
	has(FenceMany, n > 2)
	has(CurrentOff, s.Fence.Current%s.Step != 0)
	for j, b := range s.Blades {
		if b.Moving {
			has(Moving, true)
			has(Stuck, stops(b.Travel) == 1)
			has(CurrentOff, b.Travel.Current%s.Step != 0)
		} else {
			has(FixedOn, b.At%s.Step == 0)
			has(FixedOff, b.At%s.Step != 0)
		}
		has(CloseNow, j > 0 && current(&s.Blades[j])-current(&s.Blades[j-1])-s.Kerf < s.Gap)
	}
	has([]Feature{OneBlade, TwoBlades, ThreeBlades, FourBlades}[min(len(s.Blades), 4)-1], true)
	has(NoKerf, s.Kerf == 0)
	has(KerfOff, s.Kerf%s.Step != 0)
	has(WideGap, s.Gap > s.LeastStrip)
	has(Trim, s.Trim > 0)
	has(Skew, s.Skew >= s.Step)
}

func current(b *saw.Blade) unit.Length {
	if b.Moving {
		return b.Travel.Current
	}
	return b.At
}

func items(p *oracle.Problem, seen *oracle.Seen, has func(Feature, bool)) {
	for i := range p.Items {
		it, is := &p.Items[i], &seen.Items[i]
		limited, cuts := it.Measure != order.Unlimited, len(it.Cuts) > 0
		has(Filled, limited && it.Made >= it.Required)
		has(TooLong, it.GreatestLength > 0 && it.GreatestLength < p.Board.Length)
		has(LeastLength, is.Short)
		has(Refused, is.Refused)
		if !is.Fits {
			continue
		}
		has(CapLength, is.Capped && it.Measure == order.ByLength)
		has(CapArea, is.Capped && it.Measure == order.ByArea)
		has(CapStrips, is.Capped && it.Measure == order.ByPieces && it.PieceLength == 0)
		has(CapPieces, is.Capped && it.Measure == order.ByPieces && it.PieceLength > 0)
		has(PartMade, is.Capped && it.Made > 0)
		has(Range, it.Random && it.Min < it.Max)
		has(PointRange, it.Random && it.Min == it.Max)
		has(Joint, it.Joint > 0)
		has(Tolerance, !it.Random && it.Tolerance > p.Saw.Step/2)
		has(PerLength, !cuts && it.Basis == order.PerLength)
		has(PerStrip, !cuts && it.Basis == order.PerPiece)
		has(Worthless, !cuts && it.Value == 0)
		has(JustLong, it.GreatestLength == p.Board.Length)
		has(Crosscut, cuts)
		has(CappedCuts, cuts && is.Capped)
		has(CutLoss, it.CutKerf > 0 || it.EndTrim > 0)
		for _, c := range it.Cuts {
			has(CutCap, c.Limited && c.Made < c.Required)
			has(CutFilled, c.Limited && c.Made >= c.Required)
		}
		has(Accepted, is.Accepted)
		has(Parts, is.Parts)
		for j := range p.Items[:i] {
			o := &p.Items[j]
			has(Alike, seen.Items[j].Fits && !cuts && len(o.Cuts) == 0 && o.Value == it.Value && o.Basis == it.Basis)
		}
	}
}
