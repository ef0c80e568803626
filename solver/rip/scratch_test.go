package rip

import "math"

// Every test of this package runs on scratches that are written over when a search
// hands them on, so that a plan which still reads one comes out wrong at once, not
// only when another search has taken it.
func init() {
	spoil = func(c *scratch) {
		for i := range c.longs.all {
			c.longs.all[i] = math.MinInt64 / 3
		}
		for i := range c.scores.all {
			c.scores.all[i] = score{travel: math.MinInt64 / 3}
		}
		for i := range c.cuts.all {
			c.cuts.all[i] = cut{}
		}
		for i := range c.ints.all {
			c.ints.all[i] = math.MinInt32
		}
		for i := range c.shorts.all {
			c.shorts.all[i] = math.MinInt16
		}
		for i := range c.tablesOf.all {
			c.tablesOf.all[i] = table{}
		}
		clear(c.rowsOf.all)
		clear(c.shortLists.all)
		clear(c.cutLists.all)
		clear(c.intervals.all)
		for _, t := range c.nets {
			for i := range t.settler.room.blades.all {
				t.settler.room.blades.all[i] = math.MinInt64 / 3
			}
			clear(t.settler.room.wants.all)
		}
		labels, arena := c.labels[:cap(c.labels)], c.arena[:cap(c.arena)]
		for i := range labels {
			labels[i] = label{j: math.MaxInt8, prev: math.MinInt32}
		}
		clear(arena)
	}
}
