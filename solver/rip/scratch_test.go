package rip

import "math"

// Spoilt overwrites scratches when a search releases them, so that a plan which still
// reads one is wrong at once, not only when another search has taken the scratch.
func Spoilt(o Options) Options {
	o.tests.release = func(c *scratch) {
		fill(&c.longs, math.MinInt64/3)
		fill(&c.scores, score{Travel: math.MinInt64 / 3})
		fill(&c.cuts, cut{})
		fill(&c.ints, math.MinInt32)
		fill(&c.shorts, math.MinInt16)
		fill(&c.tablesOf, table{})
		fill(&c.rowsOf, rowOf{})
		fill(&c.shortLists, nil)
		fill(&c.cutLists, nil)
		fill(&c.intervals, interval{})
		for _, t := range c.nets {
			fill(&t.settler.room.blades, math.MinInt64/3)
			fill(&t.settler.room.wants, 0)
		}
		for _, page := range c.labels.pages {
			for i := range page {
				page[i] = label{j: math.MaxInt8, prev: math.MinInt32}
			}
		}
		fill(&c.usages.all, uses{})
	}
	return o
}

func fill[T any](b *slab[T], with T) {
	for k, c := range b.chunks {
		b.ever[k] = len(c)
		for i := range c {
			c[i] = with
		}
	}
}
