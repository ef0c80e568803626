package rip

import "github.com/ripwright/ripwright/solver/unit"

// The cuts of each want in the bands between the entries of a ceiling, computed once and
// used by all levels.

// span is the least and the most stops beyond an entry at which a strip may end.
type span struct{ lo, hi int }

// fewSpotStops is the least number of widths of a range that share one measurement. More
// do if the measurements would take more than a quarter of the memory that is left.
const fewSpotStops = 16

func (c *ceiling) setSpotStops(s *search) {
	for c.spotStops = fewSpotStops; ; c.spotStops *= 2 {
		many, coarser := int64(0), false
		for k := range s.in.wants {
			if d := c.widths[k]; s.in.wants[k].spotted() && d.lo <= d.hi {
				each := c.spotsEach(k)
				many += int64(each)
				coarser = coarser || each > 1
			}
		}
		if !coarser || s.budget.Fits(4*cutBytes*int64(c.n)*many) {
			return
		}
	}
}

// spotsEach is how many measurements an entry has for want k.
func (c *ceiling) spotsEach(k int) int {
	d := c.widths[k]
	return (d.hi-d.lo)/c.spotStops + 1
}

func (c *ceiling) measure(s *search) {
	in := s.in
	n := len(in.wants)
	c.near, c.far, c.edge = s.cutLists.take(n), s.cutLists.take(n), s.cutLists.take(n)
	c.spots = resize(c.spots, n)
	c.widths, c.farWorth, c.nearTop, c.tops = resize(c.widths, n), resize(c.farWorth, n), resize(c.nearTop, n), c.longs.take(n)
	c.nearN = min(max(int(unit.CeilDiv(in.fullLo-in.kerf-c.lo, in.step)), 0), c.n)
	c.farFrom = min(max(int(unit.FloorDiv(in.fullHi-c.lo, in.step))+1, 0), c.n)
	c.narrowest = max(in.outerHi-in.outerLo, 0)
	for k := range in.wants {
		w := &in.wants[k]
		c.narrowest = min(c.narrowest, w.lo)
		c.tops[k] = c.up(w.top)
		c.widths[k] = span{int(unit.CeilDiv(in.kerf+w.lo, in.step)), int(unit.FloorDiv(in.kerf+w.hi, in.step))}
	}
	c.setSpotStops(s)
	clean := false // of defects for some want
	for k := range in.wants {
		w := &in.wants[k]
		if in.straight {
			c.measureEdge(s, k)
		}
		if w.spotted() {
			c.measureSpots(s, k)
			continue
		}
		clean = true
		c.near[k], c.far[k] = s.cuts.take(c.nearN), s.cuts.take(c.n-c.farFrom)
	}
	if !clean {
		c.charge(in)
		return
	}
	fill := func(to [][]cut, i int, lo, hi int64) {
		if lo < in.outerLo || hi > in.outerHi {
			return
		}
		s.found = in.clear.Runs(s.found[:0], unit.Length(lo), unit.Length(hi))
		s.tick(1 + in.edges/64)
		for k := range in.wants {
			if to[k] != nil {
				s.tick(int64(len(s.found)) / stride)
				to[k][i] = in.wants[k].count(s.found, false)
			}
		}
	}
	// If the other side is at the end of the full band, one edge alone decides.
	for i := range c.nearN {
		fill(c.near, i, s.clamp(c.height(in, i)+in.kerf), in.fullHi)
	}
	for i := c.farFrom; i < c.n; i++ {
		fill(c.far, i-c.farFrom, in.fullLo, c.height(in, i))
	}
	for k := range in.wants {
		switch w := &in.wants[k]; {
		case c.far[k] == nil:
		case w.it.Random:
			c.nearTop[k] = c.worths(w, w.hi, c.near[k])
		default:
			c.farWorth[k] = c.longs.raw(len(c.far[k]))
		}
	}
	c.charge(in)
}

// charge computes the worth of strips at the present tolls.
func (c *ceiling) charge(in *instance) {
	for k := range c.farWorth {
		w := &in.wants[k]
		for i := range c.farWorth[k] {
			c.poll(i)
			g := c.far[k][i]
			if c.farWorth[k][i] = never; g.n > 0 {
				c.farWorth[k][i] = c.up(w.worth(w.lo, g))
				if c.widths[k].lo == c.widths[k].hi {
					c.farWorth[k][i] -= c.toll(in, w, g)
				} else {
					c.farWorth[k][i] -= c.fee
				}
			}
		}
	}
	c.measureFull(in)
}

// worths gives the worth of cuts of a width, never for empty ones.
func (c *ceiling) worths(w *want, width int64, cuts []cut) []int64 {
	all := c.longs.raw(len(cuts))
	for i, g := range cuts {
		c.poll(i)
		if all[i] = never; g.n > 0 {
			all[i] = c.up(w.worth(width, g))
		}
	}
	return all
}

// height of an entry.
func (c *ceiling) height(in *instance, i int) int64 { return c.lo + int64(i)*in.step }

func (c *ceiling) measureSpots(s *search, k int) {
	in, w := s.in, &s.in.wants[k]
	d := c.widths[k]
	if d.lo > d.hi {
		return
	}
	each := c.spotsEach(k)
	c.spots[k] = s.cutLists.take((c.n*each + spotPage - 1) / spotPage)
	for i := range c.spots[k] {
		c.spots[k][i] = s.cuts.take(spotPage)
	}
	for i := range c.n {
		if !s.spend(int64(each)) {
			return
		}
		face := c.height(in, i) + in.kerf
		if face < in.outerLo {
			continue
		}
		for b := range each {
			c.poll(b)
			q := i + d.lo + b*c.spotStops
			if q >= c.n {
				break
			}
			*c.spotAt(k, i*each+b) = s.counted(w, face, c.height(in, q))
		}
	}
}

// spot bounds a strip of want k from the face of entry i to entry q.
func (c *ceiling) spot(k, i, q int) cut {
	return *c.spotAt(k, i*c.spotsEach(k)+(q-i-c.widths[k].lo)/c.spotStops)
}

// spotPage is how many measurements a page of spots holds: making one must not take so
// long that the search exceeds its limits.
const spotPage = 1 << 6

func (c *ceiling) spotAt(k, at int) *cut { return &c.spots[k][at/spotPage][at%spotPage] }

// end bounds a strip of a want that refuses no defect, which ends at entry q and whose
// other side gives start.
func (c *ceiling) end(k, q int, start cut) cut {
	if q < c.farFrom {
		return start
	}
	return start.least(c.far[k][q-c.farFrom])
}

// gives bounds a strip of want k from the face of entry i to entry q.
func (c *ceiling) gives(in *instance, k, i, q int) cut {
	if in.wants[k].spotted() {
		return c.spot(k, i, q)
	}
	start := in.wants[k].full
	if i < c.nearN {
		start = c.near[k][i]
	}
	return c.end(k, q, start)
}

func (c *ceiling) measureEdge(s *search, k int) {
	w := &s.in.wants[k]
	c.edge[k] = s.cuts.take(c.n)
	from, to := c.edgeSpan(s.in, w)
	for q := from; q < to; q++ {
		s.tick(1)
		c.edge[k][q] = s.counted(w, 0, c.height(s.in, q))
	}
}

// edgeSpan gives the entries, from from up to but without to, at which a strip of want w
// from a straight edge can end.
func (c *ceiling) edgeSpan(in *instance, w *want) (from, to int) {
	at := func(y int64) int { return int(min(max((y-c.lo)/in.step, 0), int64(c.n))) }
	return at(in.stopUp(w.lo)), at(in.stopDown(w.hi) + in.step)
}
