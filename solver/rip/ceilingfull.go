package rip

import "slices"

// Strips that are clear from end to end are the same wherever they lie, so which
// of them are worth laying is settled once for all levels of a ceiling.

// fullStrip is such a strip of a fixed width.
type fullStrip struct {
	stops int // from the entry that it begins at to the one it ends at
	worth int64
}

// window is a part of a range's widths, in stops.
type window struct{ want, lo, hi int }

// measureFull lists the strips that leave the quota as it is and that no narrower
// one is worth as much as. The others can be left out: what lies beyond the
// narrower one is worth no less.
func (c *ceiling) measureFull(in *instance) {
	c.full, c.windows = c.full[:0], c.windows[:0]
	for i := range in.wants {
		w, d := &in.wants[i], c.widths[i]
		if d.lo <= d.hi && !w.it.Random && len(w.refused) == 0 && !c.counts(in, w, w.full) {
			c.full = append(c.full, fullStrip{d.lo, c.up(w.worth(w.lo, w.full))})
		}
	}
	slices.SortFunc(c.full, func(a, b fullStrip) int {
		if a.stops != b.stops {
			return a.stops - b.stops
		}
		return sign(b.worth - a.worth)
	})
	kept, most := c.full[:0], int64(-1)
	for _, f := range c.full {
		if f.worth > most {
			kept, most = append(kept, f), f.worth
		}
	}
	c.full = kept
	for i := range in.wants {
		w, d := &in.wants[i], c.widths[i]
		if d.lo <= d.hi && w.it.Random && len(w.refused) == 0 && !c.counts(in, w, w.full) {
			c.openWidths(in, i, d)
		}
	}
	c.slides = make([]slide, len(c.windows)+len(in.wants))
}

// openWidths lists the widths of want i, a range, that are worth more than any narrower
// strip of a fixed width.
func (c *ceiling) openWidths(in *instance, i int, d span) {
	w := &in.wants[i]
	base, each := c.up(w.worth(int64(d.lo)*in.step-in.kerf, w.full)), int64(0)
	if w.byWidth() {
		each = c.up(w.worth(in.step, w.full))
	}
	lo := d.lo
	for f := 0; lo <= d.hi; f++ {
		end := d.hi // of the widths that no further strip is narrower than
		if f < len(c.full) {
			end = min(c.full[f].stops-1, d.hi)
		}
		if lo <= end {
			c.windows = append(c.windows, window{i, lo, end})
			lo = end + 1
		}
		if f == len(c.full) {
			break
		}
		// The strip is worth as much as all widths up to this one.
		if v := c.full[f].worth - base; v >= 0 {
			upTo := d.hi
			if each > 0 {
				upTo = int(min(int64(d.lo)+v/each, int64(d.hi)))
			}
			lo = max(lo, upTo+1)
		}
	}
}
