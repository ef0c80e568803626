package rip

import "sort"

// laid is a strip of the cutting with the greatest value in the level.
type laid struct {
	want  int
	worth int64
	pays  bool
}

// trace gives the strips of the cutting with the greatest value in a level.
func (t *tuner) trace(rest []int64) {
	c, in := t.c, t.in
	t.strips = t.strips[:0]
	for j := 0; len(t.strips) < 4*t.m+4; {
		v := rest[j]
		if v <= 0 {
			return
		}
		// The last entry of equal worth begins a strip.
		j += sort.Search(len(rest)-j, func(i int) bool { return rest[j+i] < v }) - 1
		best, at := laid{want: -1}, 0
		most := int64(never)
		try := func(i, q int, width int64, g cut, sure bool) bool {
			if g.n == 0 {
				return false
			}
			worth, toll := c.up(in.wants[i].worth(width, g)), c.fee
			if sure {
				toll = c.toll(in, &in.wants[i], g)
			}
			if got := worth - toll + rest[q]; got > most {
				most, best, at = got, laid{i, worth, sure && c.enough(in, &in.wants[i], g)}, q
			}
			return most >= v
		}
		t.options(j, try)
		if best.want < 0 {
			return
		}
		t.strips = append(t.strips, best)
		j = at
	}
}

// options tries the strips that begin at entry j until one is accepted.
func (t *tuner) options(j int, try func(i, q int, width int64, g cut, sure bool) bool) {
	c, in := t.c, t.in
	face := c.height(in, j) + in.kerf
	for i := range in.wants {
		w, d := &in.wants[i], c.widths[i]
		if in.straight && face <= 0 {
			from, to := c.edgeSpan(in, w)
			for q := from; q < to; q++ {
				c.poll(q)
				if try(i, q, c.height(in, q), c.edge[i][q], true) {
					return
				}
			}
		}
		if face < in.outerLo || in.straight && face < 0 {
			continue
		}
		start := w.full
		if !w.spotted() && j < c.nearN {
			start = c.near[i][j]
		}
		for q := min(j+d.hi, c.n-1); q >= j+d.lo; q-- {
			c.poll(q)
			width := min(int64(q-j)*in.step-in.kerf, w.hi)
			if w.spotted() {
				if try(i, q, width, c.spot(i, j, q), d.lo == d.hi) {
					return
				}
				continue
			}
			if try(i, q, width, c.end(i, q, start), j >= c.nearN || q < c.farFrom) {
				return
			}
		}
	}
}
