package arbor

import (
	"slices"

	"github.com/ripwright/ripwright/solver/unit"
)

// mostGaps bounds the widths that are listed for a gap.
const mostGaps = 200

// gaps lists for every fixed blade but the last how far from it the next one stands if
// what is between is as wide as an item, or as several where moving blades stand between,
// as near as the spacers come to it, in rising order.
func (c *scorer) gaps() (all [][]unit.Length) {
	var widths []unit.Length
	for _, items := range c.items {
		for i := range items {
			widths = append(widths, items[i].Min, items[i].Max)
		}
	}
	slices.Sort(widths)
	widths = slices.Compact(widths)
	between, seen := 0, false
	for _, b := range c.saw.Blades {
		switch {
		case b.Moving:
			between++
		case seen:
			all = append(all, c.sums(widths, min(between, 2)+1))
			fallthrough
		default:
			seen, between = true, 0
		}
	}
	return all
}

// sums gives the distances of blades with up to so many strips between them.
func (c *scorer) sums(widths []unit.Length, strips int) (all []unit.Length) {
	step := c.p.Spacers.Increment
	wide := []unit.Length{0}
	for range strips {
		var next []unit.Length
		for _, sum := range wide {
			for _, w := range widths {
				if len(next) < 16*mostGaps {
					next = append(next, sum+w+c.saw.Kerf)
				}
			}
		}
		slices.Sort(next)
		wide = slices.Compact(next)
		for _, sum := range wide {
			all = append(all, (sum+step-1)/step*step) // no narrower
		}
	}
	slices.Sort(all)
	all = slices.Compact(all)
	for len(all) > mostGaps { // every other one, as long as they are too many
		for i := 0; 2*i < len(all); i++ {
			all[i] = all[2*i]
		}
		all = all[:(len(all)+1)/2]
	}
	return all
}
