package arbor

import (
	"cmp"
	"slices"

	"github.com/ripwright/ripwright/solver/unit"
)

// mostGaps limits the widths listed for a gap.
const mostGaps = 200

// reach is a range of total widths of strips, including the blades between them and one
// beside them.
type reach struct{ from, to unit.Length }

// gaps lists for every fixed blade but the last the distances to the next one at which
// the space between is as wide as an item, within its tolerance, or as several items if
// moving blades stand between, in ascending order. If the spacers allow no such distance,
// the next greater one is used if there are moving blades between.
func (c *scorer) gaps() (all [][]unit.Length) {
	var widths []reach
	for _, items := range c.items {
		for i := range items {
			it := &items[i]
			w := reach{it.Min, it.Max}
			if !it.Random {
				off := it.Off(c.saw.Step)
				w = reach{max(it.Min-off, 0), it.Max + off}
			}
			widths = append(widths, reach{w.from + c.saw.Kerf, w.to + c.saw.Kerf})
		}
	}
	widths = sorted(widths)
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

func sorted(all []reach) []reach {
	slices.SortFunc(all, func(a, b reach) int { return cmp.Or(cmp.Compare(a.from, b.from), cmp.Compare(a.to, b.to)) })
	return slices.Compact(all)
}

// sums gives the distances of blades with up to that many strips between them.
func (c *scorer) sums(widths []reach, strips int) (all []unit.Length) {
	step := c.p.Spacers.Increment
	wide := []reach{{}}
	for range strips {
		var next []reach
		for _, sum := range wide {
			for _, w := range widths {
				if len(next) < 16*mostGaps {
					next = append(next, reach{sum.from + w.from, sum.to + w.to})
				}
			}
		}
		wide = sorted(next)
		for _, sum := range wide {
			first, last := (sum.from+step-1)/step*step, sum.to/step*step
			if first <= last {
				all = append(all, first, last)
			} else if strips > 1 {
				all = append(all, first)
			}
		}
	}
	slices.Sort(all)
	all = slices.Compact(all)
	for len(all) > mostGaps { // drop every other one while there are too many
		for i := 0; 2*i < len(all); i++ {
			all[i] = all[2*i]
		}
		all = all[:(len(all)+1)/2]
	}
	return all
}
