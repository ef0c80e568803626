package outfeed

import (
	"maps"
	"slices"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// part is how much of something is made, of what is wanted, in one unit.
type part struct {
	made, need float64
	unit       unit
}

type unit int

const (
	inLength unit = iota
	inArea
	inPieces
)

// fill records the state of the items of the order in force.
func (b *Book) fill(a *ripwrightv1.RunLineResponse) {
	for _, f := range a.GetFills() {
		if p := partOf(f); p.need > 0 {
			b.made[f.GetItemId()] = p
		}
	}
}

// partOf counts an item, or the pieces of its lengths. What exceeds the requirement does
// not count.
func partOf(f *ripwrightv1.Fill) (p part) {
	if r := f.GetRequired(); r != nil {
		p.need, p.unit = amount(r)
		made, _ := amount(f.GetMade())
		p.made = min(made, p.need)
		return p
	}
	p.unit = inPieces
	for _, l := range f.GetLengths() {
		p.need += float64(l.GetRequired())
		p.made += float64(min(l.GetMade(), l.GetRequired()))
	}
	return p
}

func amount(a *ripwrightv1.Amount) (float64, unit) {
	switch is := a.GetAmount().(type) {
	case *ripwrightv1.Amount_AreaM2:
		return is.AreaM2, inArea
	case *ripwrightv1.Amount_Pieces:
		return float64(is.Pieces), inPieces
	}
	return a.GetLengthM(), inLength
}

// full gives how full a stack is: how much is made of what goes onto it, from 0 to 1.
// Items counted in different units have equal weights. It reports false if nothing is
// known.
func (b *Book) full(stack string) (float64, bool) {
	var all part
	parts, n, mixed := 0.0, 0, false
	for _, id := range slices.Sorted(maps.Keys(b.made)) {
		if b.stacks[id] != stack {
			continue
		}
		p := b.made[id]
		mixed = mixed || n > 0 && p.unit != all.unit
		all = part{all.made + p.made, all.need + p.need, p.unit}
		parts += p.made / p.need
		n++
	}
	switch {
	case n == 0:
		return 0, false
	case mixed:
		return parts / float64(n), true
	}
	return all.made / all.need, true
}

// fitted adds to strips the widths that were ordered and how full their stacks are; for a
// strip whose stack is not known to be its item's in the order in force, how much of the
// item is made.
func (b *Book) fitted(strips []Strip) []Strip {
	strips = slices.Clone(strips)
	for i, s := range strips {
		if s.Waste {
			continue
		}
		strips[i].OrderedMM = b.widths[s.ItemID]
		if s.Stack != "" && b.stacks[s.ItemID] == s.Stack {
			strips[i].Full, strips[i].FullKnown = b.full(s.Stack)
		} else if p, known := b.made[s.ItemID]; known {
			strips[i].Full, strips[i].FullKnown = p.made/p.need, true
		}
	}
	return strips
}
