package rip

import (
	"slices"
	"sort"
)

// Strips that are clear from end to end are the same wherever they lie, so which of them
// are worth laying is decided once for all levels of a ceiling.

// fullStrip is such a strip of a fixed width.
type fullStrip struct {
	stops int   // from the entry that it begins at to the one it ends at
	worth int64 // coarse
	want  *want
}

// window is a part of a range's widths, in stops.
type window struct{ want, lo, hi int }

// measureFull lists the strips that leave the quota as it is and are worth more than any
// narrower one. The others can be left out: what lies beyond a narrower strip is worth no
// less.
func (c *ceiling) measureFull(in *instance) {
	c.windows, c.beside = c.windows[:0], c.beside[:0]
	c.full = c.strips(in, c.full[:0], func(w *want) bool { return !c.counts(in, w, w.full) })
	for i := range in.wants {
		c.tick(1)
		w, d := &in.wants[i], c.widths[i]
		if d.lo > d.hi || !w.it.Random || w.spotted() {
			continue
		}
		if !c.counts(in, w, w.full) {
			toll := c.toll(in, w, w.full)
			c.windows = c.openWidths(in, c.windows, i, d, c.full, func(width int64, f *fullStrip) bool {
				return c.up(w.worth(width, w.full))-toll > f.worth
			})
		}
		// Beside an edge a narrower strip's run is no shorter, and worth as much by the
		// same length if its run need not be longer to count. The length of the run, and
		// so whether the range's strip counts there, is not known: a short one pays no
		// price, whatever it pays over the whole length, so prices must not favour the
		// narrower one. Nor must rounding, which differs for each length.
		c.besideFull = c.strips(in, c.besideFull[:0], func(v *want) bool {
			return w.byWidth() && w.it.Bonus.IsZero() && v.it.Bonus.IsZero() && v.crosscut == nil && v.it.ByPaid() && v.least <= w.least && !c.kept(v) && c.price[v.index] == 0
		})
		c.beside = c.openWidths(in, c.beside, i, d, c.besideFull, func(width int64, f *fullStrip) bool {
			return w.worth(width, w.full).Cmp(f.want.worth(f.want.lo, f.want.full)) > 0
		})
	}
	n := len(c.windows) + len(in.wants)
	for len(c.slides) < n { // with their own memory
		c.slides = append(c.slides, slide{})
	}
}

// strips lists the full strips of those fixed widths that serve, by rising width, without
// those that are worth no more than a narrower one.
func (c *ceiling) strips(in *instance, to []fullStrip, serves func(*want) bool) []fullStrip {
	c.tick(int64(len(in.wants))/4 + 1)
	for i := range in.wants {
		w, d := &in.wants[i], c.widths[i]
		if d.lo <= d.hi && !w.it.Random && !w.spotted() && serves(w) {
			to = append(to, fullStrip{d.lo, c.up(w.worth(w.lo, w.full)) - c.toll(in, w, w.full), w})
		}
	}
	slices.SortFunc(to, func(a, b fullStrip) int {
		if a.stops != b.stops {
			return a.stops - b.stops
		}
		return sign(b.worth - a.worth)
	})
	kept, most := to[:0], int64(-1)
	for _, f := range to {
		if f.worth > most {
			kept, most = append(kept, f), f.worth
		}
	}
	return kept
}

// openWidths lists the widths of want i, a range, that are worth more than any narrower
// one of the strips; more says which widths are worth more than a strip, and if one is,
// all wider ones are.
func (c *ceiling) openWidths(in *instance, to []window, i int, d span, strips []fullStrip, more func(width int64, f *fullStrip) bool) []window {
	width := func(stops int) int64 { return min(int64(stops)*in.step-in.kerf, in.wants[i].hi) }
	lo := d.lo
	for k := range strips {
		f := &strips[k]
		if lo > d.hi {
			break
		}
		// The strip is as good as the widths from its own up to this one.
		from := max(f.stops, lo)
		upTo := from + sort.Search(max(d.hi+1-from, 0), func(n int) bool { return more(width(from+n), f) })
		if upTo == from {
			continue
		}
		if lo < from {
			to = append(to, window{i, lo, from - 1})
		}
		lo = upTo
	}
	if lo <= d.hi {
		to = append(to, window{i, lo, d.hi})
	}
	return to
}
